// What the daemon answers on its socket: one function per command, found by its name.
//
// Loop thread only. What takes long is worked out on the worker and replied to later.
#pragma once

#include "daemon/keeper/keeper.hpp"
#include "daemon/socket/server.hpp"

namespace lullwatt::daemon {

// REQUIRES: keeper and worker outlive the handler's use.
[[nodiscard]] Handler requests(Keeper& keeper, Loop& loop, Worker& worker, const Log& log);

// One command each. `reply` is called once, now or later.
struct Asked {
    const Request& request;
    Reply reply;
    Keeper& keeper;
    Loop& loop;
    Worker& worker;
};
void reply_now(const Asked& asked);
void reply_night(const Asked& asked);   // when, plan, why
void reply_ledger(const Asked& asked);  // sessions, report
// Why a point carries what it does now. False, and nothing replied, where that was not asked, or its
// equipment has not been heard.
[[nodiscard]] bool reply_why_now(const Asked& asked);
void reply_need(const Asked& asked);
void reply_hold(const Asked& asked);
void reply_reload(const Asked& asked);

// What the commands share.
// Has the answer's line worked out on the worker; a fault where that fails, or where too much waits.
void reply_later(const Asked& asked, const std::function<std::string(const std::stop_token&)>& line);
[[nodiscard]] std::string too_many_waiting();
[[nodiscard]] io::Fault asked_wrong(std::string key, std::string value, std::string what,
                                    std::string allowed = {}, std::string mend = {});
// "is not proven yet, so …".
[[nodiscard]] io::Fault clock_unproven(const std::string& consequence, Trust trust);
// The fields that no command but those in `known` takes; all of them at once.
[[nodiscard]] io::Faults unknown_fields(const Request& request,
                                        std::initializer_list<std::string_view> known);
// A need as a question's options. Other fields are left alone.
[[nodiscard]] tools::QuestionOptions need_options(const Request& request);
// The car a request names, or the only one; empty and a fault where there is none such.
[[nodiscard]] std::optional<std::string> named_car(const Request& request, const Keeper& keeper,
                                                   io::Faults& faults);

}  // namespace lullwatt::daemon
