/* faultymic: an ALSA capture plug-in that plays a raw file as if it were the air before a microphone, and fails on cue.
 *
 * The air moves at `speed` times real time from the first start on and never waits, so a reader who comes late finds
 * an overrun as on a real card, and what is heard after it comes from later in the file. After the end: silence.
 *
 *   file      raw samples, interleaved, in the form given by rate, bits (16 or 32) and channels: nothing else is offered
 *   period    the only period size, in frames; the buffer holds `periods` of them
 *   overrun_at, unplug_at, stall_at    air frame at which the fault comes; 0 is never, overrun_at -1 always
 *   always_ready   1: poll is told that there is something to read even when there is not
 *   refuse    a file; while it exists, opening fails with the errno that stands in it
 */
#include <alsa/asoundlib.h>
#include <alsa/pcm_external.h>
#include <sys/timerfd.h>
#include <time.h>

typedef struct {
	snd_pcm_ioplug_t io;
	FILE *raw;
	long rate, bits, channels, period, periods, speed, overrun_at, unplug_at, stall_at, always_ready;
	double began; /* when the air began to move; 0 before the first start */
	long base;    /* air frame at which this run of the stream started */
} mic_t;

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec + t.tv_nsec * 1e-9;
}

static long air(const mic_t *mic)
{
	long frames = (long)((now() - mic->began) * mic->rate * mic->speed);
	return mic->stall_at && frames > mic->stall_at ? mic->stall_at : frames;
}

static int tick(const mic_t *mic, long nanoseconds)
{
	struct itimerspec each = { { 0, nanoseconds }, { 0, nanoseconds } };
	return timerfd_settime(mic->io.poll_fd, 0, &each, NULL) < 0 ? -errno : 0;
}

static int mic_start(snd_pcm_ioplug_t *io)
{
	mic_t *mic = io->private_data;
	if (!mic->began)
		mic->began = now();
	mic->base = air(mic);
	return tick(mic, 1000000000L * mic->period / mic->rate / mic->speed);
}

static int mic_stop(snd_pcm_ioplug_t *io) { return tick(io->private_data, 0); }

static snd_pcm_sframes_t mic_pointer(snd_pcm_ioplug_t *io)
{
	mic_t *mic = io->private_data;
	long frames = (air(mic) - mic->base) / mic->period * mic->period; /* a card tells its position period by period */
	if (mic->stall_at && air(mic) == mic->stall_at && !mic->always_ready)
		tick(mic, 0); /* nothing wakes the reader any more */
	if (mic->unplug_at && mic->base + frames >= mic->unplug_at)
		snd_pcm_ioplug_set_state(io, SND_PCM_STATE_DISCONNECTED);
	else if (mic->overrun_at < 0 || frames - (long)io->appl_ptr >= (long)io->buffer_size)
		return -EPIPE;
	else if (mic->overrun_at && mic->base + frames >= mic->overrun_at) {
		mic->overrun_at = 0;
		return -EPIPE;
	}
	return frames % io->buffer_size;
}

static snd_pcm_sframes_t mic_transfer(snd_pcm_ioplug_t *io, const snd_pcm_channel_area_t *areas,
				      snd_pcm_uframes_t offset, snd_pcm_uframes_t size)
{
	mic_t *mic = io->private_data;
	size_t width = mic->channels * mic->bits / 8;
	char *to = (char *)areas->addr + (areas->first + areas->step * offset) / 8;
	memset(to, 0, size * width);
	fseek(mic->raw, (mic->base + (long)io->appl_ptr) * width, SEEK_SET);
	if (!fread(to, width, size, mic->raw))
		clearerr(mic->raw);
	return size;
}

static int mic_revents(snd_pcm_ioplug_t *io, struct pollfd *pfd, unsigned int n, unsigned short *revents)
{
	mic_t *mic = io->private_data;
	unsigned long long ticks;
	int ready = n && pfd->revents && (mic->always_ready || read(io->poll_fd, &ticks, sizeof ticks) > 0);
	*revents = ready ? POLLIN : 0;
	return 0;
}

static int mic_close(snd_pcm_ioplug_t *io)
{
	mic_t *mic = io->private_data;
	close(io->poll_fd);
	fclose(mic->raw);
	free(mic);
	return 0;
}

static const snd_pcm_ioplug_callback_t callbacks = { .start = mic_start, .stop = mic_stop, .pointer = mic_pointer,
	.transfer = mic_transfer, .close = mic_close, .poll_revents = mic_revents };

static int offer(mic_t *mic)
{
	unsigned int access[] = { SND_PCM_ACCESS_RW_INTERLEAVED, SND_PCM_ACCESS_MMAP_INTERLEAVED /* for plug */ };
	unsigned int format[] = { mic->bits == 32 ? SND_PCM_FORMAT_S32_LE : SND_PCM_FORMAT_S16_LE };
	unsigned int bytes = mic->period * mic->channels * mic->bits / 8;
	snd_pcm_ioplug_t *io = &mic->io;
	int err = snd_pcm_ioplug_set_param_list(io, SND_PCM_IOPLUG_HW_ACCESS, 2, access);
	if (!err) err = snd_pcm_ioplug_set_param_list(io, SND_PCM_IOPLUG_HW_FORMAT, 1, format);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_CHANNELS, mic->channels, mic->channels);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_RATE, mic->rate, mic->rate);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_PERIOD_BYTES, bytes, bytes);
	if (!err) err = snd_pcm_ioplug_set_param_minmax(io, SND_PCM_IOPLUG_HW_PERIODS, mic->periods, mic->periods);
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

SND_PCM_PLUGIN_DEFINE_FUNC(faultymic)
{
	mic_t *mic = calloc(1, sizeof *mic);
	const char *raw = "", *refuse = "";
	snd_config_iterator_t i, next;
	(void)root;
	mic->rate = 48000, mic->bits = 16, mic->channels = 1, mic->period = 256, mic->periods = 256, mic->speed = 1;
	snd_config_for_each(i, next, conf) {
		struct { const char *name; long *to; } known[] = { { "rate", &mic->rate }, { "bits", &mic->bits },
			{ "channels", &mic->channels }, { "period", &mic->period }, { "periods", &mic->periods },
			{ "speed", &mic->speed }, { "overrun_at", &mic->overrun_at }, { "unplug_at", &mic->unplug_at },
			{ "stall_at", &mic->stall_at }, { "always_ready", &mic->always_ready } };
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
	if (!err && !(mic->raw = fopen(raw, "rb")))
		err = -errno;
	if (err) {
		free(mic);
		return err;
	}
	mic->io.version = SND_PCM_IOPLUG_VERSION;
	mic->io.name = "a microphone that fails on cue";
	mic->io.callback = &callbacks;
	mic->io.private_data = mic;
	mic->io.poll_fd = timerfd_create(CLOCK_MONOTONIC, TFD_NONBLOCK | TFD_CLOEXEC);
	mic->io.poll_events = POLLIN;
	err = snd_pcm_ioplug_create(&mic->io, name, stream, mode);
	if (err < 0) {
		mic_close(&mic->io);
		return err;
	}
	err = offer(mic);
	if (err < 0)
		snd_pcm_ioplug_delete(&mic->io); /* closes */
	*pcmp = mic->io.pcm;
	return err;
}
SND_PCM_PLUGIN_SYMBOL(faultymic);
