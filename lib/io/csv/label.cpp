#include "io/csv/label.hpp"

#include <chrono>
#include <sstream>

#include <date/date.h>

namespace lullwatt::io {
namespace {

constexpr int kFirstYear = 1900;
constexpr int kLastYear = 2399;

// Takes a label apart from the left; every step that fails leaves it failed.
class Scanner {
  public:
    explicit Scanner(std::string_view text) : text_(text) {}

    int digits(std::size_t count) {
        int value = 0;
        if (text_.size() < count) ok_ = false;
        for (std::size_t i = 0; ok_ && i < count; ++i) {
            const char digit = text_[i];
            ok_ = digit >= '0' && digit <= '9';
            value = value * 10 + (digit - '0');
        }
        if (ok_) text_.remove_prefix(count);
        return value;
    }
    bool skip_any_of(std::string_view accepted) {
        if (text_.empty() || accepted.find(text_.front()) == accepted.npos) return false;
        text_.remove_prefix(1);
        return true;
    }
    void need(std::string_view accepted) { ok_ = skip_any_of(accepted) && ok_; }
    void refuse_if(bool wrong) { ok_ = ok_ && !wrong; }
    [[nodiscard]] char front() const { return text_.empty() ? '\0' : text_.front(); }
    [[nodiscard]] bool ok() const { return ok_; }
    [[nodiscard]] bool done() const { return ok_ && text_.empty(); }

  private:
    std::string_view text_;
    bool ok_ = true;
};

std::optional<Seconds> scan_offset(Scanner& scan) {
    if (scan.skip_any_of("Zz")) return Seconds{0};
    const char sign = scan.front();
    if (!scan.skip_any_of("+-")) return std::nullopt;
    const std::chrono::hours hours{scan.digits(2)};
    std::chrono::minutes minutes{0};
    if (scan.skip_any_of(":") || scan.front() != '\0') minutes = std::chrono::minutes{scan.digits(2)};
    scan.refuse_if(hours.count() > 14 || minutes.count() > 59);
    const Seconds offset = hours + minutes;
    return sign == '-' ? -offset : offset;
}

bool in_range(date::year_month_day day) {
    return day.ok() && int{day.year()} >= kFirstYear && int{day.year()} <= kLastYear;
}

}  // namespace

std::optional<TimeLabel> parse_iso_label(std::string_view text) {
    Scanner scan(text);
    const date::year year{scan.digits(4)};
    scan.need("-");
    const date::month month{static_cast<unsigned>(scan.digits(2))};
    scan.need("-");
    const date::year_month_day day = year / month / date::day{static_cast<unsigned>(scan.digits(2))};
    scan.need("T ");
    const std::chrono::hours hours{scan.digits(2)};
    scan.need(":");
    const std::chrono::minutes minutes{scan.digits(2)};
    Seconds seconds{0};
    if (scan.skip_any_of(":")) seconds = Seconds{scan.digits(2)};
    const std::optional<Seconds> offset = scan_offset(scan);
    const Seconds time_of_day = hours + minutes + seconds;
    scan.refuse_if(!in_range(day) || minutes.count() > 59 || seconds.count() > 59 ||
                   time_of_day > date::days{1});
    if (!scan.done()) return std::nullopt;
    return TimeLabel{date::local_days{day} + time_of_day, offset};
}

std::optional<TimeLabel> parse_label(const std::string& text, const std::string& pattern) {
    std::istringstream in(text);
    CivilTime label{};
    std::string abbreviation;
    std::chrono::minutes offset{0};
    date::from_stream(in, pattern.c_str(), label, &abbreviation, &offset);
    if (in.fail() || in.peek() != std::istringstream::traits_type::eof()) return std::nullopt;
    if (!in_range(date::year_month_day{date::floor<date::days>(label)})) return std::nullopt;
    const bool written = pattern.find("%z") != pattern.npos || pattern.find("%Ez") != pattern.npos;
    return TimeLabel{label, written ? std::optional<Seconds>(offset) : std::nullopt};
}

std::string utc_text(Instant at) { return date::format("%FT%TZ", at); }

}  // namespace lullwatt::io
