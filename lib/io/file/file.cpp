#include "io/file/file.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <fstream>
#include <unistd.h>
#include <utility>

#include "io/fault/printable.hpp"

namespace lullwatt::io {
namespace {

Fault fault_of(const std::filesystem::path& file, std::string what, std::string mend) {
    return {file.string(), 0, 0, "", std::move(what), "", "", std::move(mend)};
}

class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() { static_cast<void>(close()); }
    [[nodiscard]] int number() const { return number_; }
    [[nodiscard]] bool close() {
        const int number = std::exchange(number_, -1);
        return number < 0 || ::close(number) == 0;
    }

  private:
    int number_;
};

bool write_all(int descriptor, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) return false;
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return true;
}

}  // namespace

Read<std::string> read_whole_file(const std::filesystem::path& file, std::uintmax_t largest) {
    const auto refused = [&](std::string what, std::string mend) {
        return Faults{fault_of(file, std::move(what), std::move(mend))};
    };
    std::error_code error;
    if (!std::filesystem::exists(file, error)) {
        return refused("cannot be read: there is no such file", "check the name and the folder");
    }
    if (!std::filesystem::is_regular_file(file, error)) {
        return refused("is a folder or a device, not a file", "name a file");
    }
    const std::uintmax_t size = std::filesystem::file_size(file, error);
    if (error || size > largest) {
        return refused(
            "is larger than " + std::to_string(largest / 1024 / 1024) + " MiB, the most that is read",
            "split it, by months for example");
    }
    std::string bytes(size, '\0');
    std::ifstream stream(file, std::ios::binary);
    stream.read(bytes.data(), static_cast<std::streamsize>(size));
    if (!stream) return refused("cannot be read", "check who may read it");
    return bytes;
}

std::optional<Fault> why_no_text(std::string_view bytes, const std::string& file) {
    const auto fault = [&](std::string what, std::string mend, int line = 0) {
        return Fault{file, line, 0, "", std::move(what), "", "", std::move(mend)};
    };
    if (bytes.find_first_not_of(" \t\r\n") == bytes.npos) {
        return fault("is empty", "name another file, or download it again");
    }
    if (bytes.starts_with("PK\x03\x04")) {
        return fault("is an archive or a spreadsheet, not text",
                     "unpack it, or save the table as CSV in UTF-8");
    }
    if (bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF")) {
        return fault("is text in UTF-16", "save it in UTF-8");
    }
    const auto control = std::ranges::find_if(bytes, [](char byte) {
        return static_cast<unsigned char>(byte) < 0x20 &&
               std::string_view("\t\n\v\f\r").find(byte) == std::string_view::npos;
    });
    if (control == bytes.end()) return std::nullopt;
    const auto lines = std::count(bytes.begin(), control, '\n');
    return fault("is no text: it holds the character " + printable({control, 1}, 1),
                 "name a text file in UTF-8", static_cast<int>(lines) + 1);
}

std::optional<Fault> replace_file(const std::filesystem::path& file, std::string_view bytes) {
    std::filesystem::path beside = file;
    beside += ".new-" + std::to_string(::getpid());
    const auto failed = [&](const std::string& step) {
        Fault fault = fault_of(file, "could not be written: " + step + ": " + std::strerror(errno),
                               "check the folder, its owner and the space left");
        ::unlink(beside.c_str());
        return fault;
    };
    Descriptor out(::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644));
    if (out.number() < 0) return failed("opening");
    if (!write_all(out.number(), bytes)) return failed("writing");
    if (::fsync(out.number()) != 0 || !out.close()) return failed("syncing");
    if (::rename(beside.c_str(), file.c_str()) != 0) return failed("renaming");

    const std::filesystem::path folder = file.has_parent_path() ? file.parent_path() : ".";
    const Descriptor held(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (held.number() >= 0) ::fsync(held.number());  // the new name itself; the file is safe either way
    return std::nullopt;
}

}  // namespace lullwatt::io
