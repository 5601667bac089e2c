/*
 * shim.c: makes a call of a program fail, or two, or all from one on. Preloaded (LD_PRELOAD) by faults.py.
 *
 *   FAULT_CALL   memory (malloc, calloc, realloc), open, write, fsync, rename, close, chmod or read
 *   FAULT_N      which call of that kind fails, 1 for the first after the program is loaded
 *   FAULT_EVER   set: every call of that kind after it fails too
 *   FAULT_MARK   a file that is made when the failure has been given
 *   FAULT_THEN   a second kind (unlink too): once the first failure has been given, the FAULT_THEN_N-th call of it
 *                fails, and the file of FAULT_MARK with "2" behind its name is made
 *
 * Allocations are failed by functions of the same name. System calls are failed where they happen, so that
 * those of the C library's own streams count too: a seccomp filter turns them into SIGSYS, whose handler makes
 * the call itself with a mark in the unused sixth argument that the filter lets pass. Linux on x86-64 or arm64;
 * elsewhere the shim ends the program with status 77.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <ucontext.h>
#include <unistd.h>

#define PASS 0x5eed5eed     /* in the sixth argument: our own call */
#define NO_SHIM 77

/* A kind of call, counted until one fails. */
struct fault {
    const char *kind;           /* NULL: none */
    unsigned long at, count;    /* which call fails; how many there were */
    bool given;
};

static struct fault first, then;
static bool for_ever;
static char mark[4000], mark_then[4001];
static bool armed;          /* the constructor is through */

static void make_file(const char *path)
{
    long fd = syscall(SYS_openat, AT_FDCWD, path, O_CREAT | O_WRONLY, 0600, 0, PASS);
    if (fd >= 0)
        syscall(SYS_close, fd, 0, 0, 0, 0, PASS);
}

/* Count a call of this kind; whether it is the one that fails. */
static bool counts(struct fault *fault, const char *kind, const char *file)
{
    if (fault->kind == NULL || strcmp(fault->kind, kind) != 0 || ++fault->count != fault->at)
        return false;
    fault->given = true;
    make_file(file);
    return true;
}

/* Whether the call of this kind that is now made fails. */
static bool is_due(const char *kind)
{
    if (!armed)
        return false;
    if (first.given)
        return counts(&then, kind, mark_then) || (for_ever && strcmp(first.kind, kind) == 0);
    return counts(&first, kind, mark);
}

/* ---- memory ---- */

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t n, size_t size);
extern void *__libc_realloc(void *old, size_t size);

static bool memory_fails(void)
{
    if (!is_due("memory"))
        return false;
    errno = ENOMEM;
    return true;
}

void *malloc(size_t size)
{
    return memory_fails() ? NULL : __libc_malloc(size);
}

void *calloc(size_t n, size_t size)
{
    return memory_fails() ? NULL : __libc_calloc(n, size);
}

void *realloc(void *old, size_t size)
{
    return memory_fails() ? NULL : __libc_realloc(old, size);
}

/* ---- system calls ---- */

static const struct kind {
    const char *name;
    int error;
    long calls[3];      /* 0 where there are fewer: read's own number is never the second */
} kinds[] = {
    { "open", EMFILE, { SYS_openat, 0, 0 } },
    { "write", ENOSPC, { SYS_write, SYS_writev, 0 } },
    { "read", EIO, { SYS_read, 0, 0 } },
    { "fsync", EIO, { SYS_fsync, SYS_fdatasync, 0 } },
    { "close", EIO, { SYS_close, 0, 0 } },
    { "chmod", EPERM, { SYS_fchmod, 0, 0 } },
#ifdef SYS_unlink
    { "unlink", EPERM, { SYS_unlink, SYS_unlinkat, 0 } },
#else
    { "unlink", EPERM, { SYS_unlinkat, 0, 0 } },
#endif
#ifdef SYS_rename
    { "rename", EACCES, { SYS_rename, SYS_renameat, SYS_renameat2 } },
#else
    { "rename", EACCES, { SYS_renameat, SYS_renameat2, 0 } },
#endif
};

static const struct kind *kind_named(const char *name)
{
    for (size_t i = 0; name != NULL && i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(name, kinds[i].name) == 0)
            return &kinds[i];
    }
    return NULL;
}

static const struct kind *kind_of(long call)
{
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        for (size_t k = 0; k < 3; k++) {
            if (kinds[i].calls[k] == call && (k == 0 || call != 0))
                return &kinds[i];
        }
    }
    return NULL;
}

#if defined(__x86_64__)
#define ARCHITECTURE AUDIT_ARCH_X86_64
#define RESULT(context) (context)->uc_mcontext.gregs[REG_RAX]
#define ARGUMENT(context, i) \
    (context)->uc_mcontext.gregs[(const int[]){ REG_RDI, REG_RSI, REG_RDX, REG_R10, REG_R8 }[i]]
#elif defined(__aarch64__)
#define ARCHITECTURE AUDIT_ARCH_AARCH64
#define RESULT(context) (context)->uc_mcontext.regs[0]
#define ARGUMENT(context, i) (context)->uc_mcontext.regs[i]
#endif

#ifdef ARCHITECTURE
static void on_call(int signal, siginfo_t *info, void *context_of)
{
    ucontext_t *context = context_of;
    int saved = errno;
    bool on_error = (info->si_syscall == SYS_write || info->si_syscall == SYS_writev) &&
                    ARGUMENT(context, 0) == STDERR_FILENO;      /* where the program says what is wrong */

    const struct kind *kind = kind_of(info->si_syscall);

    (void)signal;
    if (!on_error && kind != NULL && is_due(kind->name)) {
        RESULT(context) = (__typeof__(RESULT(context)))-kind->error;
    } else {
        long result = syscall(info->si_syscall, ARGUMENT(context, 0), ARGUMENT(context, 1),
                              ARGUMENT(context, 2), ARGUMENT(context, 3), ARGUMENT(context, 4), PASS);
        RESULT(context) = (__typeof__(RESULT(context)))(result < 0 ? -errno : result);
    }
    errno = saved;
}

/* Have the calls of two kinds (NULL: none) come to on_call. */
static bool watch_calls(const struct kind *one, const struct kind *two)
{
    const struct kind *both[] = { one != NULL ? one : two, two != NULL ? two : one };
    struct sock_filter filter[] = {
        BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, arch)),
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, ARCHITECTURE, 0, 9),
        BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, args[5])),
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, PASS, 7, 0),
        BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, nr)),
#define CALL(kind, i, on) \
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, (unsigned)both[kind]->calls[both[kind]->calls[i] != 0 ? i : 0], on, 0)
        CALL(0, 0, 6), CALL(0, 1, 5), CALL(0, 2, 4), CALL(1, 0, 3), CALL(1, 1, 2), CALL(1, 2, 1),
#undef CALL
        BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW),
        BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_TRAP),
    };
    struct sock_fprog program = { sizeof filter / sizeof filter[0], filter };
    struct sigaction action = { .sa_sigaction = on_call, .sa_flags = SA_SIGINFO | SA_NODEFER };

    return sigaction(SIGSYS, &action, NULL) == 0 && prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
           prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program) == 0;
}
#else
static bool watch_calls(const struct kind *one, const struct kind *two)
{
    (void)one;
    (void)two;
    return false;
}
#endif

static struct fault asked(const char *kind, const char *n)
{
    const char *kind_text = getenv(kind), *n_text = getenv(n);
    return (struct fault){ kind_text, n_text != NULL ? strtoul(n_text, NULL, 10) : 0, 0, false };
}

__attribute__((constructor)) static void begin(void)
{
    const char *file = getenv("FAULT_MARK");

    snprintf(mark, sizeof mark, "%s", file != NULL ? file : "/dev/null");
    snprintf(mark_then, sizeof mark_then, "%s%s", mark, file != NULL ? "2" : "");
    first = asked("FAULT_CALL", "FAULT_N");
    then = asked("FAULT_THEN", "FAULT_THEN_N");
    for_ever = getenv("FAULT_EVER") != NULL;
    const struct kind *one = kind_named(first.kind), *two = kind_named(then.kind);
    bool memory = first.kind != NULL && strcmp(first.kind, "memory") == 0;
    if ((one == NULL && !memory) || ((one != NULL || two != NULL) && !watch_calls(one, two)))
        _exit(NO_SHIM);
    armed = true;
}
