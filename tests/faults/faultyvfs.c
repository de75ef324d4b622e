/* faultyvfs: a SQLite VFS that passes everything on to this system's own, writes down what changes the disk, and fails
 * on cue. Shared memory and locks go through as they are, so a write-ahead log works.
 *
 * The trace is a row of records: a head (below, 24 bytes) and `size` bytes after it where there are any:
 *   OPEN      path; place: 1 when the file was there already
 *   WRITE     the bytes that went to the file, at `place`
 *   TRUNCATE  place: the new length
 *   SYNC      place: 1 when the folder's entries were flushed with it, as the unix VFS does at the first xSync of a
 *             journal or WAL that it may have made (SQLite source, os_unix.c, UNIXFILE_DIRSYNC); -1 when it failed
 *   DELETE    path; place: 1 when the folder's entries were flushed with it
 *   MARK      place: a number that the test gave
 *
 * A cue counts the operations for which it names a code of SQLite; the n-th fails with it, or all from the n-th on.
 * `torn`: half of a write that fails reaches the file, as on a disk that has become full. An OPEN that fails with
 * SQLITE_READONLY opens for reading only, as the unix VFS does on a disk that takes no writes.
 */
#include <pthread.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { OPEN, WRITE, TRUNCATE, SYNC, DELETE, MARK, READ, SHARE, LOCK, OPERATIONS };

typedef struct { int what, file; sqlite3_int64 place, size; } head_t;
typedef struct { sqlite3_file base; int number, flush_folder; } file_t;

static pthread_mutex_t mutex = PTHREAD_MUTEX_INITIALIZER;
static sqlite3_vfs *own, shim;
static char *trace;
static size_t filled, room;
static int recording, files;
static struct { int codes[OPERATIONS]; long nth, seen, failed; int lasting, torn; } cue;

static sqlite3_file *real(sqlite3_file *file) { return (sqlite3_file *)((file_t *)file + 1); }
static const sqlite3_io_methods *its(sqlite3_file *file) { return real(file)->pMethods; }

static void note(int what, int file, sqlite3_int64 place, const void *bytes, sqlite3_int64 size)
{
	head_t head = { what, file, place, size };
	pthread_mutex_lock(&mutex);
	if (recording) {
		while (filled + sizeof head + size > room) {
			room = room ? 2 * room : 1 << 20;
			if (!(trace = realloc(trace, room)))
				abort();
		}
		memcpy(trace + filled, &head, sizeof head);
		if (size)
			memcpy(trace + filled + sizeof head, bytes, size);
		filled += sizeof head + size;
	}
	pthread_mutex_unlock(&mutex);
}

static int fault(int what) /* the code to fail with, or 0 */
{
	pthread_mutex_lock(&mutex);
	int code = cue.codes[what];
	if (code) {
		cue.seen++;
		if (cue.seen == cue.nth || (cue.lasting && cue.seen > cue.nth))
			cue.failed++;
		else
			code = 0;
	}
	pthread_mutex_unlock(&mutex);
	return code;
}

static int file_close(sqlite3_file *file) { return its(file)->xClose(real(file)); }

static int file_read(sqlite3_file *file, void *to, int size, sqlite3_int64 place)
{
	int code = fault(READ);
	return code ? code : its(file)->xRead(real(file), to, size, place);
}

static int file_write(sqlite3_file *file, const void *bytes, int size, sqlite3_int64 place)
{
	int code = fault(WRITE);
	if (code)
		size = cue.torn ? size / 2 : 0;
	int own_code = size ? its(file)->xWrite(real(file), bytes, size, place) : SQLITE_OK;
	if (size && own_code == SQLITE_OK)
		note(WRITE, ((file_t *)file)->number, place, bytes, size);
	return code ? code : own_code;
}

static int file_truncate(sqlite3_file *file, sqlite3_int64 length)
{
	int code = fault(TRUNCATE);
	if (!code && !(code = its(file)->xTruncate(real(file), length)))
		note(TRUNCATE, ((file_t *)file)->number, length, NULL, 0);
	return code;
}

static int file_sync(sqlite3_file *file, int flags)
{
	file_t *ours = (file_t *)file;
	int code = fault(SYNC);
	if (!code && !(code = its(file)->xSync(real(file), flags))) {
		note(SYNC, ours->number, ours->flush_folder, NULL, 0);
		ours->flush_folder = 0;
	} else
		note(SYNC, ours->number, -1, NULL, 0);
	return code;
}

static int file_size(sqlite3_file *file, sqlite3_int64 *to) { return its(file)->xFileSize(real(file), to); }

static int file_lock(sqlite3_file *file, int level)
{
	int code = fault(LOCK);
	return code ? code : its(file)->xLock(real(file), level);
}

static int file_unlock(sqlite3_file *file, int level) { return its(file)->xUnlock(real(file), level); }
static int file_reserved(sqlite3_file *file, int *to) { return its(file)->xCheckReservedLock(real(file), to); }
static int file_control(sqlite3_file *file, int what, void *arg) { return its(file)->xFileControl(real(file), what, arg); }
static int file_sector(sqlite3_file *file) { return its(file)->xSectorSize(real(file)); }
static int file_device(sqlite3_file *file) { return its(file)->xDeviceCharacteristics(real(file)); }

static int file_share(sqlite3_file *file, int page, int size, int extend, void volatile **to)
{
	int code = fault(SHARE);
	return code ? code : its(file)->xShmMap(real(file), page, size, extend, to);
}

static int file_share_lock(sqlite3_file *file, int first, int count, int flags)
{
	return its(file)->xShmLock(real(file), first, count, flags);
}

static void file_barrier(sqlite3_file *file) { its(file)->xShmBarrier(real(file)); }
static int file_unshare(sqlite3_file *file, int wipe) { return its(file)->xShmUnmap(real(file), wipe); }

/* Version 2: no mapping of the file itself into memory, so that every change comes by xWrite. */
static const sqlite3_io_methods methods = { 2, file_close, file_read, file_write, file_truncate, file_sync, file_size,
	file_lock, file_unlock, file_reserved, file_control, file_sector, file_device, file_share, file_share_lock,
	file_barrier, file_unshare, NULL, NULL };

static int shim_open(sqlite3_vfs *vfs, const char *path, sqlite3_file *file, int flags, int *out)
{
	const int made_beside = SQLITE_OPEN_MAIN_JOURNAL | SQLITE_OPEN_SUPER_JOURNAL | SQLITE_OPEN_WAL;
	file_t *ours = (file_t *)file;
	int there = path && access(path, F_OK) == 0, code = fault(OPEN);
	(void)vfs;
	ours->base.pMethods = NULL;
	if (code == SQLITE_READONLY)
		flags = (flags & ~(SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE)) | SQLITE_OPEN_READONLY;
	else if (code)
		return code;
	code = own->xOpen(own, path, real(file), flags, out);
	if (real(file)->pMethods) {
		ours->base.pMethods = &methods;
		ours->flush_folder = (flags & SQLITE_OPEN_CREATE) && (flags & made_beside);
		ours->number = __sync_add_and_fetch(&files, 1);
		note(OPEN, ours->number, there, path, path ? strlen(path) : 0);
	}
	return code;
}

static int shim_delete(sqlite3_vfs *vfs, const char *path, int flush_folder)
{
	int code = fault(DELETE);
	(void)vfs;
	if (!code && !(code = own->xDelete(own, path, flush_folder)))
		note(DELETE, 0, flush_folder, path, strlen(path));
	return code;
}

/* What the test calls. */

int faultyvfs_use(int on)
{
	if (!own) {
		own = sqlite3_vfs_find("unix");
		shim = *own; /* what we do not change needs no more than what `own` keeps in pAppData */
		shim.zName = "faulty";
		shim.szOsFile = sizeof(file_t) + own->szOsFile;
		shim.xOpen = shim_open;
		shim.xDelete = shim_delete;
		if (sqlite3_vfs_register(&shim, 0))
			return SQLITE_ERROR;
	}
	return sqlite3_vfs_register(on ? &shim : own, 1);
}

void faultyvfs_record(int on)
{
	recording = on;
	if (on)
		filled = 0;
}

void faultyvfs_mark(long number) { note(MARK, 0, number, NULL, 0); }
const char *faultyvfs_trace(void) { return trace; }
long faultyvfs_filled(void) { return filled; }
long faultyvfs_failed(void) { return cue.failed; }

void faultyvfs_cue(const int *codes, long nth, int lasting, int torn)
{
	pthread_mutex_lock(&mutex);
	memcpy(cue.codes, codes, sizeof cue.codes);
	cue.nth = nth, cue.seen = 0, cue.failed = 0, cue.lasting = lasting, cue.torn = torn;
	pthread_mutex_unlock(&mutex);
}

void faultyvfs_well(void)
{
	pthread_mutex_lock(&mutex);
	memset(cue.codes, 0, sizeof cue.codes);
	pthread_mutex_unlock(&mutex);
}
