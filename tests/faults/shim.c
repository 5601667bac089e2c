/*
 * shim.c: makes one call of a program fail. Preloaded (LD_PRELOAD) by tests/run_faults.sh.
 *
 *   FAULT_CALL   memory (malloc, calloc, realloc), open, write, fsync, rename, close, chmod or read
 *   FAULT_N      which call of that kind fails, 1 for the first after the program is loaded
 *   FAULT_MARK   a file that is made when the failure has been given
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
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <ucontext.h>
#include <unistd.h>

#define PASS 0x5eed5eed     /* in the sixth argument: our own call */
#define NO_SHIM 77

static unsigned long fail_at, count;
static const char *mark;
static bool armed;          /* the constructor is through */
static bool fail_memory;

/* Whether the call now made is the one that fails. */
static bool is_due(void)
{
    if (++count != fail_at)
        return false;
    if (mark != NULL) {
        long fd = syscall(SYS_openat, AT_FDCWD, mark, O_CREAT | O_WRONLY, 0600, 0, PASS);
        if (fd >= 0)
            syscall(SYS_close, fd, 0, 0, 0, 0, PASS);
    }
    return true;
}

/* ---- memory ---- */

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t n, size_t size);
extern void *__libc_realloc(void *old, size_t size);

static bool memory_fails(void)
{
    if (!armed || !fail_memory || !is_due())
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
#ifdef SYS_rename
    { "rename", EACCES, { SYS_rename, SYS_renameat, SYS_renameat2 } },
#else
    { "rename", EACCES, { SYS_renameat, SYS_renameat2, 0 } },
#endif
};

static int fault_error;

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

    (void)signal;
    if (!on_error && armed && is_due()) {
        RESULT(context) = (__typeof__(RESULT(context)))-fault_error;
    } else {
        long result = syscall(info->si_syscall, ARGUMENT(context, 0), ARGUMENT(context, 1),
                              ARGUMENT(context, 2), ARGUMENT(context, 3), ARGUMENT(context, 4), PASS);
        RESULT(context) = (__typeof__(RESULT(context)))(result < 0 ? -errno : result);
    }
    errno = saved;
}

static bool watch_calls(const long calls[3])
{
    struct sock_filter filter[] = {
        BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, arch)),
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, ARCHITECTURE, 0, 6),
        BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, args[5])),
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, PASS, 4, 0),
        BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, nr)),
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, (unsigned)calls[0], 3, 0),
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, (unsigned)(calls[1] != 0 ? calls[1] : calls[0]), 2, 0),
        BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, (unsigned)(calls[2] != 0 ? calls[2] : calls[0]), 1, 0),
        BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW),
        BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_TRAP),
    };
    struct sock_fprog program = { sizeof filter / sizeof filter[0], filter };
    struct sigaction action = { .sa_sigaction = on_call, .sa_flags = SA_SIGINFO | SA_NODEFER };

    return sigaction(SIGSYS, &action, NULL) == 0 && prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
           prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program) == 0;
}
#else
static bool watch_calls(const long calls[3])
{
    (void)calls;
    return false;
}
#endif

__attribute__((constructor)) static void begin(void)
{
    const char *call = getenv("FAULT_CALL"), *n = getenv("FAULT_N");
    bool good = false;

    mark = getenv("FAULT_MARK");
    fail_at = n != NULL ? strtoul(n, NULL, 10) : 0;
    fail_memory = call != NULL && strcmp(call, "memory") == 0;
    for (size_t i = 0; call != NULL && i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(call, kinds[i].name) == 0) {
            fault_error = kinds[i].error;
            good = watch_calls(kinds[i].calls);
        }
    }
    if (!good && !fail_memory)
        _exit(NO_SHIM);
    armed = true;
}
