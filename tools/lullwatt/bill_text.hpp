// Bills in words, as JSON and as CSV.
//
// Pure functions; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::tools {

// What the words need beside the bills.
struct BillWords {
    std::string tariff;
    std::string currency;
    int digits = 2;
    const Zone& clock;
    std::string note = {};  // of earlier bills that are unknown
};

// One bill with all its lines.
[[nodiscard]] std::string bill_text(const account::Bill& bill, const BillWords& words);
// A line for each bill, and their sum.
[[nodiscard]] std::string bills_text(const std::vector<account::Bill>& bills, const BillWords& words);
[[nodiscard]] std::string bills_json(const std::vector<account::Bill>& bills, const BillWords& words);
// One row a line: from,to,part,name,quantity,unit,rate,amount,rule.
[[nodiscard]] std::string bills_csv(const std::vector<account::Bill>& bills);

// "window", "tax": the kind of a line as one word.
[[nodiscard]] std::string part_word(tariff::Part part);

}  // namespace lullwatt::tools
