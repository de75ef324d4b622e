/* faultyspeaker: an ALSA playback plug-in that writes what it plays to a raw file, in real time, and fails on cue.
 *
 * It plays from the first write on and never waits: a writer who comes late finds an underrun, as on a real card.
 *
 *   file       gets the samples as they are handed over, at once; it grows over every opening
 *   rate, channels, bits (16 or 32), period    the only form that is offered; the buffer holds `periods` of them
 *   underrun_at, unplug_at, stall_at    frame written since it was opened at which the fault comes; 0 is never
 *   always_ready   1: poll is told that there is room even when there is not
 *   refuse     a file; while it exists, opening fails with the errno that stands in it
 */
#include <alsa/asoundlib.h>
#include <alsa/pcm_external.h>
#include <sys/timerfd.h>
#include <time.h>

typedef struct {
	snd_pcm_ioplug_t io;
	FILE *raw;
	long rate, bits, channels, period, periods, underrun_at, unplug_at, stall_at, always_ready;
	double began;
	long written, played;
} speaker_t;

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec + t.tv_nsec * 1e-9;
}

static int tick(const speaker_t *to, long nanoseconds)
{
	struct itimerspec each = { { 0, nanoseconds }, { 0, nanoseconds } };
	return timerfd_settime(to->io.poll_fd, 0, &each, NULL) < 0 ? -errno : 0;
}

static int speaker_start(snd_pcm_ioplug_t *io)
{
	speaker_t *to = io->private_data;
	to->began = now();
	return tick(to, 1000000000L * to->period / to->rate);
}

static int speaker_stop(snd_pcm_ioplug_t *io) { return tick(io->private_data, 0); }

static snd_pcm_sframes_t speaker_pointer(snd_pcm_ioplug_t *io)
{
	speaker_t *to = io->private_data;
	if (io->state != SND_PCM_STATE_RUNNING && io->state != SND_PCM_STATE_DRAINING)
		return 0;
	if (to->unplug_at && to->written >= to->unplug_at)
		snd_pcm_ioplug_set_state(io, SND_PCM_STATE_DISCONNECTED);
	else if (to->underrun_at && to->written >= to->underrun_at) {
		to->underrun_at = 0;
		return -EPIPE;
	}
	if (!to->stall_at || to->written < to->stall_at)
		to->played = (long)((now() - to->began) * to->rate);
	if (to->played > (long)io->appl_ptr)
		return -EPIPE;
	return to->played % io->buffer_size;
}

static snd_pcm_sframes_t speaker_transfer(snd_pcm_ioplug_t *io, const snd_pcm_channel_area_t *areas,
					  snd_pcm_uframes_t offset, snd_pcm_uframes_t size)
{
	speaker_t *to = io->private_data;
	size_t width = to->channels * to->bits / 8;
	const char *from = (const char *)areas->addr + (areas->first + areas->step * offset) / 8;
	if (fwrite(from, width, size, to->raw) != size)
		return -EIO;
	to->written += size;
	return size;
}

static int speaker_revents(snd_pcm_ioplug_t *io, struct pollfd *pfd, unsigned int n, unsigned short *revents)
{
	speaker_t *to = io->private_data;
	unsigned long long ticks;
	int ready = n && pfd->revents && (to->always_ready || read(io->poll_fd, &ticks, sizeof ticks) > 0);
	*revents = ready ? POLLOUT : 0;
	return 0;
}

static int speaker_close(snd_pcm_ioplug_t *io)
{
	speaker_t *to = io->private_data;
	close(io->poll_fd);
	fclose(to->raw);
	free(to);
	return 0;
}

static const snd_pcm_ioplug_callback_t callbacks = { .start = speaker_start, .stop = speaker_stop,
	.pointer = speaker_pointer, .transfer = speaker_transfer, .close = speaker_close,
	.poll_revents = speaker_revents };

static int offer(speaker_t *to)
{
	unsigned int access[] = { SND_PCM_ACCESS_RW_INTERLEAVED, SND_PCM_ACCESS_MMAP_INTERLEAVED /* for plug */ };
	unsigned int format[] = { to->bits == 32 ? SND_PCM_FORMAT_S32_LE : SND_PCM_FORMAT_S16_LE };
	unsigned int bytes = to->period * to->channels * to->bits / 8;
	snd_pcm_ioplug_t *io = &to->io;
	int err = snd_pcm_ioplug_set_param_list(io, SND_PCM_IOPLUG_HW_ACCESS, 2, access);
	if (!err) err = snd_pcm_ioplug_set_param_list(io, SND_PCM_IOPLUG_HW_FORMAT, 1, format);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_CHANNELS, to->channels, to->channels);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_RATE, to->rate, to->rate);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_PERIOD_BYTES, bytes, bytes);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_PERIODS, 2, to->periods);
	return err;
}

static int refusal(const char *path)
{
	int code = 0;
	FILE *file = *path ? fopen(path, "r") : NULL;
	if (file && fscanf(file, "%d", &code) != 1)
		code = EINVAL;
	if (file)
		fclose(file);
	return -code;
}

SND_PCM_PLUGIN_DEFINE_FUNC(faultyspeaker)
{
	speaker_t *to = calloc(1, sizeof *to);
	const char *raw = "", *refuse = "";
	snd_config_iterator_t i, next;
	(void)root;
	to->rate = 48000, to->bits = 16, to->channels = 1, to->period = 256, to->periods = 64;
	snd_config_for_each(i, next, conf) {
		struct { const char *name; long *to; } known[] = { { "rate", &to->rate }, { "bits", &to->bits },
			{ "channels", &to->channels }, { "period", &to->period }, { "periods", &to->periods },
			{ "underrun_at", &to->underrun_at }, { "unplug_at", &to->unplug_at },
			{ "stall_at", &to->stall_at }, { "always_ready", &to->always_ready } };
		snd_config_t *entry = snd_config_iterator_entry(i);
		const char *id;
		snd_config_get_id(entry, &id);
		for (size_t k = 0; k < sizeof known / sizeof *known; k++)
			if (!strcmp(id, known[k].name))
				snd_config_get_integer(entry, known[k].to);
		if (!strcmp(id, "file")) snd_config_get_string(entry, &raw);
		if (!strcmp(id, "refuse")) snd_config_get_string(entry, &refuse);
	}
	int err = refusal(refuse);
	if (!err && !(to->raw = fopen(raw, "ab")))
		err = -errno;
	if (err) {
		free(to);
		return err;
	}
	setbuf(to->raw, NULL);
	to->io.version = SND_PCM_IOPLUG_VERSION;
	to->io.name = "a speaker that fails on cue";
	to->io.callback = &callbacks;
	to->io.private_data = to;
	to->io.poll_fd = timerfd_create(CLOCK_MONOTONIC, TFD_NONBLOCK | TFD_CLOEXEC);
	to->io.poll_events = POLLIN; /* of the timer; revents make it POLLOUT */
	err = snd_pcm_ioplug_create(&to->io, name, stream, mode);
	if (err < 0) {
		speaker_close(&to->io);
		return err;
	}
	err = offer(to);
	if (err < 0)
		snd_pcm_ioplug_delete(&to->io); /* closes */
	*pcmp = to->io.pcm;
	return err;
}
SND_PCM_PLUGIN_SYMBOL(faultyspeaker);
