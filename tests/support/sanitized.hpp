// Whether this build looks for undefined behaviour, which takes ten times as long: a part of the seeds will
// do there, for the others run in release.
#pragma once

namespace lullwatt::tests {

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
inline constexpr bool kSanitized = true;
#else
inline constexpr bool kSanitized = false;
#endif

}  // namespace lullwatt::tests
