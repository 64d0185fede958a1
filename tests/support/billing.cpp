#include "support/billing.hpp"

namespace lullwatt::testing {

std::string text_of(const account::Bill& bill) {
    std::string text;
    for (const account::Line& line : bill.lines) {
        text += line.name;
        if (line.unit == account::Line::Unit::percent) {
            text += " " + decimal_text(line.quantity, 6) + " %";
        } else if (line.unit != account::Line::Unit::none) {
            text += " " + decimal_text(line.quantity, 6);
            if (line.rate) text += " x " + decimal_text(*line.rate, 12);
        }
        text += " = " + decimal_text(line.amount.count(), 6, 2) + "; ";
    }
    return text + "total " + decimal_text(bill.total.count(), 6, 2);
}

}  // namespace lullwatt::testing
