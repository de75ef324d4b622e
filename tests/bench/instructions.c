/* Counts the instructions of a program under qemu-user, and tells them at its end on standard error: a TCG plug-in.
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
extern void qemu_plugin_register_atexit_cb(plugin_id id, void (*call)(plugin_id, void *), void *with);

enum { ADD_U64 = 0 };

int qemu_plugin_version = 1;
static uint64_t count;

static void translated(plugin_id id, struct qemu_plugin_tb *block)
{
    (void)id;
    qemu_plugin_register_vcpu_tb_exec_inline(block, ADD_U64, &count, qemu_plugin_tb_n_insns(block));
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
    qemu_plugin_register_atexit_cb(id, ended, NULL);
    return 0;
}
