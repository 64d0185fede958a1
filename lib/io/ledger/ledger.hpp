// The ledger's one writer: rows are appended, and stand written once commit() has returned without failure.
//
// One thread at a time. Rows are only added; a correction is a row that names the one it corrects. Opens the
// file with a write-ahead log and full synchronisation, so that readers in other processes never wait.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <variant>

#include "io/ledger/chain.hpp"
#include "io/ledger/database.hpp"

namespace lullwatt::io::ledger {

struct Appended {
    Id row = 0;            // in its table; of a session too. Samples and minutes have none: 0
    bool already = false;  // the ledger had it: nothing was added
};

class Ledger {
  public:
    // Makes the file where there is none, and takes an older schema to ours. Faults as Connection::open.
    [[nodiscard]] static Read<Ledger> open(const std::filesystem::path& file, const std::string& vfs = {});

    // Part of the next commit. Said again, a start, stop, reading, sample, minute or first session of a
    // transaction is found and not added. After Failure::refused the rows before it still stand; after any
    // other failure nothing since the last commit does, and all of it may be appended again.
    [[nodiscard]] std::variant<Appended, Failure> append(const Row& row);

    // All appended rows are on disk, or none and all may be appended again.
    [[nodiscard]] std::optional<Failure> commit();

    // Of what is committed.
    [[nodiscard]] const Head& head() const { return committed_; }

  private:
    explicit Ledger(Connection connection);

    Appended add(const Event& event);
    Appended add(const TransactionStart& start);
    Appended add(const TransactionStop& stop);
    Appended add(const Reading& reading);
    Appended add(const Sample& sample);
    Appended add(const Minute& minute);
    Appended add(const SessionRow& session);
    void add_costs(Id session, const std::vector<account::CostPart>& parts);
    [[nodiscard]] Digest readings_digest(Id transaction);
    [[nodiscard]] Id name(const std::string& text);
    Id link(Chained kind);
    void roll_back();

    Connection connection_;
    Head head_;  // with what is appended
    Head committed_;
    std::map<std::string, Id> names_;
    bool open_ = false;  // a transaction of SQLite's is
};

}  // namespace lullwatt::io::ledger
