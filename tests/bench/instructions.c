/* Counts the instructions of a program under qemu-user, and tells them at its end on standard error: a TCG plug-in.
 *
 * A program marks a place by closing a file that nobody can have, MARK and more: what was counted up to there is told too.
 *
 * It needs no header of qemu: what it uses of the plug-in interface, version 1, is declared here
 * (qemu's own documentation, "QEMU TCG Plugins"). Build: cc -shared -fPIC -O2 -o count.so instructions.c
 */
#include <inttypes.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

typedef uint64_t plugin_id;
struct qemu_plugin_tb;

extern size_t qemu_plugin_tb_n_insns(const struct qemu_plugin_tb *block);
extern void qemu_plugin_register_vcpu_tb_trans_cb(plugin_id id, void (*call)(plugin_id, struct qemu_plugin_tb *));
extern void qemu_plugin_register_vcpu_tb_exec_inline(struct qemu_plugin_tb *block, int operation, void *to, uint64_t add);
extern void qemu_plugin_register_vcpu_syscall_cb(plugin_id id, void (*call)(plugin_id, unsigned int, int64_t, uint64_t,
    uint64_t, uint64_t, uint64_t, uint64_t, uint64_t, uint64_t, uint64_t));
extern void qemu_plugin_register_atexit_cb(plugin_id id, void (*call)(plugin_id, void *), void *with);

enum { ADD_U64 = 0, CLOSE = 57, MARK = 1000000000 }; /* close(2) on arm64 */

int qemu_plugin_version = 1;
static uint64_t count;

static void translated(plugin_id id, struct qemu_plugin_tb *block)
{
    (void)id;
    qemu_plugin_register_vcpu_tb_exec_inline(block, ADD_U64, &count, qemu_plugin_tb_n_insns(block));
}

static void called(plugin_id id, unsigned int cpu, int64_t number, uint64_t first, uint64_t b, uint64_t c, uint64_t d,
    uint64_t e, uint64_t f, uint64_t g, uint64_t h)
{
    (void)id, (void)cpu, (void)b, (void)c, (void)d, (void)e, (void)f, (void)g, (void)h;
    if (number == CLOSE && (uint32_t)first >= MARK && (uint32_t)first <= INT32_MAX)
        fprintf(stderr, "mark %" PRIu32 " %" PRIu64 "\n", (uint32_t)first - MARK, count);
}

static void ended(plugin_id id, void *with)
{
    (void)id;
    (void)with;
    fprintf(stderr, "instructions %" PRIu64 "\n", count);
}

int qemu_plugin_install(plugin_id id, const void *info, int argc, char **argv)
{
    (void)info;
    (void)argc;
    (void)argv;
    qemu_plugin_register_vcpu_tb_trans_cb(id, translated);
    qemu_plugin_register_vcpu_syscall_cb(id, called);
    qemu_plugin_register_atexit_cb(id, ended, NULL);
    return 0;
}
