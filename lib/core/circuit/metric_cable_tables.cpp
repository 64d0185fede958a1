#include "core/circuit/metric_cable_tables.hpp"

namespace lullwatt::circuit {
namespace {

using enum CableTable;
using enum CableMethod;
using enum Evidence;

constexpr CapacityRow row(CableTable table, CableMethod method, Phases phases, Evidence evidence,
                          std::array<double, kCableSizes.size()> amps) {
    return {{table, method, phases}, evidence, amps};
}
constexpr CapacityRow one(CableTable table, CableMethod method, Evidence evidence,
                          std::array<double, kCableSizes.size()> amps) {
    return row(table, method, Phases::single, evidence, amps);
}
constexpr CapacityRow three(CableTable table, CableMethod method, Evidence evidence,
                            std::array<double, kCableSizes.size()> amps) {
    return row(table, method, Phases::three, evidence, amps);
}

// clang-format off
constexpr std::array kRows{
    //                              mm²  1.5   2.5     4     6    10    16    25    35
    // IEC 60364-5-52:2009 B.52.2 to B.52.5: A1 to C in a transcription of the standard, the KS C IEC copy,
    // NBR 5410 and VDE 0298-4; D1 and D2, new in 2009, in the first alone. The edition of 2001 had one method D
    // with other figures.
    one(iec_pvc, A1, two_sources,     {14.5, 19.5,   26,   34,   46,   61,   80,   99}),
    one(iec_pvc, A2, two_sources,     {  14, 18.5,   25,   32,   43,   57,   75,   92}),
    one(iec_pvc, B1, two_sources,     {17.5,   24,   32,   41,   57,   76,  101,  125}),
    one(iec_pvc, B2, two_sources,     {16.5,   23,   30,   38,   52,   69,   90,  111}),
    one(iec_pvc, C,  two_sources,     {19.5,   27,   36,   46,   63,   85,  112,  138}),
    one(iec_pvc, D1, one_source,      {  22,   29,   37,   46,   60,   78,   99,  119}),
    one(iec_pvc, D2, one_source,      {  22,   28,   38,   48,   64,   83,  110,  132}),
    three(iec_pvc, A1, two_sources,   {13.5,   18,   24,   31,   42,   56,   73,   89}),
    three(iec_pvc, A2, two_sources,   {  13, 17.5,   23,   29,   39,   52,   68,   83}),
    three(iec_pvc, B1, two_sources,   {15.5,   21,   28,   36,   50,   68,   89,  110}),
    three(iec_pvc, B2, two_sources,   {  15,   20,   27,   34,   46,   62,   80,   99}),
    three(iec_pvc, C,  two_sources,   {17.5,   24,   32,   41,   57,   76,   96,  119}),
    three(iec_pvc, D1, one_source,    {  18,   24,   30,   38,   50,   64,   82,   98}),
    three(iec_pvc, D2, one_source,    {  19,   24,   33,   41,   54,   70,   92,  110}),
    one(iec_xlpe, A1, two_sources,    {  19,   26,   35,   45,   61,   81,  106,  131}),
    one(iec_xlpe, A2, two_sources,    {18.5,   25,   33,   42,   57,   76,   99,  121}),
    one(iec_xlpe, B1, two_sources,    {  23,   31,   42,   54,   75,  100,  133,  164}),
    one(iec_xlpe, B2, two_sources,    {  22,   30,   40,   51,   69,   91,  119,  146}),
    one(iec_xlpe, C,  two_sources,    {  24,   33,   45,   58,   80,  107,  138,  171}),
    one(iec_xlpe, D1, one_source,     {  25,   33,   43,   53,   71,   91,  116,  139}),
    one(iec_xlpe, D2, one_source,     {  27,   35,   46,   58,   77,  100,  129,  155}),
    three(iec_xlpe, A1, two_sources,  {  17,   23,   31,   40,   54,   73,   95,  117}),
    three(iec_xlpe, A2, two_sources,  {16.5,   22,   30,   38,   51,   68,   89,  109}),
    three(iec_xlpe, B1, two_sources,  {  20,   28,   37,   48,   66,   88,  117,  144}),
    three(iec_xlpe, B2, two_sources,  {19.5,   26,   35,   44,   60,   80,  105,  128}),
    three(iec_xlpe, C,  two_sources,  {  22,   30,   40,   52,   71,   96,  119,  147}),
    three(iec_xlpe, D1, one_source,   {  21,   28,   36,   44,   58,   75,   96,  115}),
    three(iec_xlpe, D2, one_source,   {  23,   30,   39,   49,   65,   84,  107,  129}),
    // BS 7671 4D1A, one copy; its 25 mm² in two.
    one(bs_4d1a, A, one_source,       {14.5,   20,   26,   34,   46,   61,   80,   99}),
    one(bs_4d1a, B, one_source,       {17.5,   24,   32,   41,   57,   76,  101,  125}),
    one(bs_4d1a, C, one_source,       {  20,   27,   37,   47,   65,   87,  114,  141}),
    three(bs_4d1a, A, one_source,     {13.5,   18,   24,   31,   42,   56,   73,   89}),
    three(bs_4d1a, B, one_source,     {15.5,   21,   28,   36,   50,   68,   89,  110}),
    three(bs_4d1a, C, one_source,     {  18,   25,   33,   43,   59,   79,  104,  129}),
    // BS 7671 4E1A, two makers' copies.
    one(bs_4e1a, A, two_sources,      {  19,   26,   35,   45,   61,   81,  106,  131}),
    one(bs_4e1a, B, two_sources,      {  23,   31,   42,   54,   75,  100,  133,  164}),
    one(bs_4e1a, C, two_sources,      {  25,   34,   46,   59,   81,  109,  143,  176}),
    three(bs_4e1a, A, two_sources,    {  17,   23,   31,   40,   54,   73,   95,  117}),
    three(bs_4e1a, B, two_sources,    {  20,   28,   37,   48,   66,   88,  117,  144}),
    three(bs_4e1a, C, two_sources,    {  23,   31,   41,   54,   74,   99,  130,  161}),
    // BS 7671 4D5: C in two copies, 10 and 16 mm² disputed (65 and 87 A are those of 4D1A); m103 on one page.
    one(bs_4d5, C, two_sources,       {  20,   27,   37,   47,   64,   85,    0,    0}),
    one(bs_4d5, m103, one_source,     {   0,    0, 17.5, 23.5,   32,    0,    0,    0}),
    // BS 7671 4E4A, two catalogues; D 4 mm² two-core disputed (one page has 46 A).
    one(bs_4e4a, C, two_sources,      {  27,   36,   49,   62,   85,  110,  146,  180}),
    one(bs_4e4a, D, two_sources,      {  25,   33,   43,   53,   71,   91,  116,  139}),
    one(bs_4e4a, E, two_sources,      {  29,   39,   52,   66,   90,  115,  152,  188}),
    three(bs_4e4a, C, two_sources,    {  23,   31,   42,   53,   73,   94,  124,  154}),
    three(bs_4e4a, D, two_sources,    {  21,   28,   36,   44,   58,   75,   96,  115}),
    three(bs_4e4a, E, two_sources,    {  25,   33,   44,   56,   78,   99,  131,  162}),
};
// clang-format on

}  // namespace

std::span<const CapacityRow> capacity_rows() { return kRows; }

Evidence cell_evidence(const CapacityRow& row, SquareMillimetres size) {
    const auto& [table, method, phases] = row.kind;
    const bool ten_or_sixteen = size == SquareMillimetres(10) || size == SquareMillimetres(16);
    // VDE 0298-4 has 15.5 A there, with a note.
    if (row.kind == CableKind{iec_pvc, A1, Phases::single} && size == SquareMillimetres(1.5)) return disputed;
    if (table == bs_4d1a && size == SquareMillimetres(25)) return two_sources;
    if (table == bs_4d5 && method == C && ten_or_sixteen) return disputed;
    if (row.kind == CableKind{bs_4e4a, D, Phases::single} && size == SquareMillimetres(4)) return disputed;
    return row.evidence;
}

std::string_view table_name(const CableKind& kind) {
    const bool single = kind.phases == Phases::single;
    switch (kind.table) {
        case iec_pvc:
            return single ? "IEC 60364-5-52:2009 B.52.2" : "IEC 60364-5-52:2009 B.52.4";
        case iec_xlpe:
            return single ? "IEC 60364-5-52:2009 B.52.3" : "IEC 60364-5-52:2009 B.52.5";
        case bs_4d1a:
            return "BS 7671 4D1A";
        case bs_4e1a:
            return "BS 7671 4E1A";
        case bs_4d5:
            return "BS 7671 4D5";
        case bs_4e4a:
            return "BS 7671 4E4A";
    }
    return {};
}

}  // namespace lullwatt::circuit
