/*
 * status.h: how every function of the library reports what went wrong.
 *
 * The library never prints and never exits. A function that can fail returns an
 * enum cc_status and, where the caller passes one, fills a struct cc_error with
 * one line of text. On any failure the outputs are as they were before the call.
 * (GMP itself ends the process when memory runs out; a program that wants its own
 * word on that installs GMP's allocation functions, as crankcard's main does.)
 *
 * Threads: no function keeps state between calls. Two threads may use the library
 * at once as long as they do not share an object that one of them changes.
 */
#ifndef CRANKCARD_STATUS_H
#define CRANKCARD_STATUS_H

#ifdef __cplusplus
extern "C" {
#endif

#define CC_VERSION "0.1.0"
#define CC_VERSION_MAJOR 0
#define CC_VERSION_MINOR 1
#define CC_VERSION_PATCH 0

enum cc_status {   /* values are stable: add at the end, never renumber */
    CC_OK = 0,
    CC_EPARSE = 1, /* text does not follow the documented grammar */
    CC_EDOM = 2,   /* a well-formed value is outside its domain */
    CC_ENOFIT = 3, /* a valid question whose answer is "none" */
    CC_ELIMIT = 4, /* larger than the documented limits */
    CC_ENOMEM = 5  /* memory ran out */
};

struct cc_error {
    enum cc_status status;
    char text[400]; /* one line, no newline, no capital, no full stop, UTF-8 */
};

#if defined(__GNUC__)
#define CC_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))
#else
#define CC_PRINTF(fmt, args)
#endif

/*
 * Fill err (which may be NULL) and return status, so that a check is one statement.
 * Text that does not fit is cut at a character boundary.
 */
enum cc_status cc_fail(struct cc_error *err, enum cc_status status, const char *format, ...)
    CC_PRINTF(3, 4);

/* The version of the library that runs, as opposed to the header compiled against: "0.1.0". */
const char *cc_version(void);

#ifdef __cplusplus
}
#endif

#endif
