// The tables of a ledger, and the steps from one schema to the next.
#pragma once

#include <array>

namespace lullwatt::io::ledger {

// "LWLG": tells a ledger from any other SQLite file.
inline constexpr int kApplicationId = 0x4c574c47;

// kSteps[n] takes schema n to n + 1. A step that a release has carried is never changed.
// Money in 1e-6, rates in 1e-12 of the currency per kWh, samples and minutes in thousandths of their unit,
// instants in seconds since 1970 UTC.
inline constexpr std::array kSteps = {R"sql(
CREATE TABLE names(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
CREATE TABLE events(
  id INTEGER PRIMARY KEY AUTOINCREMENT, at INTEGER NOT NULL, proven INTEGER NOT NULL, source TEXT NOT NULL,
  kind TEXT NOT NULL, text TEXT NOT NULL, corrects INTEGER UNIQUE REFERENCES events);
CREATE TABLE transactions(
  id INTEGER PRIMARY KEY AUTOINCREMENT, point INTEGER NOT NULL REFERENCES names, car TEXT NOT NULL,
  token TEXT NOT NULL, at INTEGER NOT NULL, proven INTEGER NOT NULL, value INTEGER NOT NULL,
  UNIQUE(point, at, value, token));
CREATE TABLE stops(
  id INTEGER PRIMARY KEY REFERENCES transactions, at INTEGER NOT NULL, proven INTEGER NOT NULL,
  value INTEGER NOT NULL, reason TEXT NOT NULL);
CREATE TABLE readings(
  id INTEGER PRIMARY KEY AUTOINCREMENT, point INTEGER NOT NULL REFERENCES names,
  transaction_id INTEGER REFERENCES transactions, at INTEGER NOT NULL, proven INTEGER NOT NULL,
  mark INTEGER NOT NULL, value INTEGER NOT NULL, corrects INTEGER UNIQUE REFERENCES readings);
CREATE UNIQUE INDEX readings_once ON readings(point, at, mark, value, ifnull(transaction_id, 0))
  WHERE corrects IS NULL;
CREATE TABLE samples(
  at INTEGER NOT NULL, point INTEGER NOT NULL REFERENCES names, quantity INTEGER NOT NULL, leg INTEGER NOT NULL,
  value INTEGER NOT NULL, PRIMARY KEY(at, point, quantity, leg)) WITHOUT ROWID;
CREATE TABLE minutes(
  at INTEGER NOT NULL, node INTEGER NOT NULL REFERENCES names, leg INTEGER NOT NULL, quantity INTEGER NOT NULL,
  mean INTEGER NOT NULL, most INTEGER NOT NULL, least INTEGER NOT NULL,
  PRIMARY KEY(at, node, leg, quantity)) WITHOUT ROWID;
CREATE TABLE sessions(
  id INTEGER PRIMARY KEY AUTOINCREMENT, transaction_id INTEGER NOT NULL REFERENCES transactions,
  at INTEGER NOT NULL, until INTEGER NOT NULL, evidence INTEGER NOT NULL, energy INTEGER NOT NULL,
  uncertain INTEGER NOT NULL, uncounted INTEGER NOT NULL, resets INTEGER NOT NULL, rollovers INTEGER NOT NULL,
  breaks INTEGER NOT NULL, dropped INTEGER NOT NULL, at_once INTEGER, plain_timer INTEGER,
  currency TEXT NOT NULL, digits INTEGER NOT NULL, zone_data TEXT NOT NULL, readings BLOB NOT NULL,
  corrects INTEGER UNIQUE REFERENCES sessions);
CREATE UNIQUE INDEX sessions_once ON sessions(transaction_id) WHERE corrects IS NULL;
CREATE INDEX sessions_by_time ON sessions(at);
CREATE TABLE costs(
  session_id INTEGER NOT NULL REFERENCES sessions, part INTEGER NOT NULL, at INTEGER NOT NULL,
  until INTEGER NOT NULL, energy INTEGER NOT NULL, uncertain INTEGER NOT NULL, price TEXT NOT NULL,
  rate INTEGER NOT NULL, marginal INTEGER NOT NULL, assumed INTEGER NOT NULL,
  PRIMARY KEY(session_id, part)) WITHOUT ROWID;
CREATE TABLE chain(seq INTEGER PRIMARY KEY, kind INTEGER NOT NULL, row INTEGER NOT NULL, link BLOB NOT NULL);
)sql",
                                      // What each start asks: writes into equipment, registers' last readings.
                                      R"sql(
CREATE INDEX events_by_kind ON events(source, kind, at);
CREATE INDEX readings_by_time ON readings(point, at);
)sql"};

}  // namespace lullwatt::io::ledger
