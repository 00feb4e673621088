/* Under sanitizers the code is walked: a few sites and days do. What they come to is compared by the plain program. */
#ifndef PW_TESTS_WALKED_H
#define PW_TESTS_WALKED_H

#if defined(__SANITIZE_ADDRESS__)
enum { WALKED = 1 };
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
enum { WALKED = 1 };
#else
enum { WALKED = 0 };
#endif
#else
enum { WALKED = 0 };
#endif

#endif
