/* Stand-ins for the platform's own libraries: looper, input, window, configuration, log. */
#include <errno.h>
#include <poll.h>
#include <sys/eventfd.h>
#include <time.h>
#include <unistd.h>

#include "phone.h"

struct configuration configuration = {.density = 440, .night = 1, .language = "en"};
int window_flags;
int finished;
int polls;

/* ---- Log ---- */

int __android_log_write(int level, const char *tag, const char *text) {
    fprintf(report, "log %d %s: %s\n", level, tag, text);
    return 1;
}

int __system_property_get(const char *name, char *into) {
    strcpy(into, strcmp(name, "ro.build.version.sdk") ? "" : "34");
    return (int)strlen(into);
}

/* ---- Looper ---- */

enum { WAKE = -1, CALLBACK = -2, TIMEOUT = -3, FAILED = -4 };

typedef int (*called)(int fd, int events, void *data);

struct looper {
    pthread_mutex_t lock;
    int wake, count;
    struct { int fd, ident; called callback; void *data; } of[16];
};

static __thread looper *here;

looper *ALooper_prepare(int how) {
    (void)how;
    if (!here) {
        here = calloc(1, sizeof *here);
        pthread_mutex_init(&here->lock, NULL);
        here->wake = eventfd(0, EFD_NONBLOCK);
    }
    return here;
}

looper *looper_here(void) { return ALooper_prepare(0); }
looper *ALooper_forThread(void) { return here; }
void ALooper_acquire(looper *it) { (void)it; }
void ALooper_release(looper *it) { (void)it; }

void ALooper_wake(looper *it) {
    uint64_t one = 1;
    if (write(it->wake, &one, 8) != 8) perror("wake");
}

int ALooper_removeFd(looper *it, int fd) {
    pthread_mutex_lock(&it->lock);
    int removed = 0;
    for (int n = 0; n < it->count; n++)
        if (it->of[n].fd == fd) {
            it->of[n] = it->of[--it->count];
            removed = 1;
            break;
        }
    pthread_mutex_unlock(&it->lock);
    return removed;
}

int ALooper_addFd(looper *it, int fd, int ident, int events, called callback, void *data) {
    (void)events;
    ALooper_removeFd(it, fd);
    pthread_mutex_lock(&it->lock);
    it->of[it->count].fd = fd;
    it->of[it->count].ident = ident;
    it->of[it->count].callback = callback;
    it->of[it->count++].data = data;
    pthread_mutex_unlock(&it->lock);
    return 1;
}

int ALooper_pollOnce(int milliseconds, int *fd, int *events, void **data) {
    looper *it = here;
    __atomic_add_fetch(&polls, 1, __ATOMIC_RELAXED);
    struct pollfd fds[17];
    pthread_mutex_lock(&it->lock);
    int count = it->count;
    fds[0] = (struct pollfd){it->wake, POLLIN, 0};
    for (int n = 0; n < count; n++) fds[n + 1] = (struct pollfd){it->of[n].fd, POLLIN, 0};
    pthread_mutex_unlock(&it->lock);
    int ready;
    do ready = poll(fds, (nfds_t)count + 1, milliseconds);
    while (ready < 0 && errno == EINTR);
    if (ready < 0) return FAILED;
    if (ready == 0) return TIMEOUT;
    for (int n = 0; n < count; n++) {
        if (!fds[n + 1].revents) continue;
        called callback = NULL;
        void *with = NULL;
        int ident = 0;
        pthread_mutex_lock(&it->lock);
        for (int at = 0; at < it->count; at++)
            if (it->of[at].fd == fds[n + 1].fd) {
                callback = it->of[at].callback;
                with = it->of[at].data;
                ident = it->of[at].ident;
            }
        pthread_mutex_unlock(&it->lock);
        if (callback) {
            if (!callback(fds[n + 1].fd, 1, with)) ALooper_removeFd(it, fds[n + 1].fd);
            return CALLBACK;
        }
        if (fd) *fd = fds[n + 1].fd;
        if (events) *events = 1;
        if (data) *data = with;
        return ident;
    }
    uint64_t woken;
    if (read(it->wake, &woken, 8) != 8) return TIMEOUT;
    return WAKE;
}

static int64_t now(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return at.tv_sec * 1000 + at.tv_nsec / 1000000;
}

void run_here(int milliseconds) {
    int64_t until = now() + milliseconds, left;
    while ((left = until - now()) > 0) {
        int before = polls;
        ALooper_pollOnce((int)left, NULL, NULL, NULL);
        polls = before > polls ? polls : polls - 1; /* Ours are not counted. */
    }
}

/* ---- Input ---- */

enum { KEY = 1, MOTION = 2 };

typedef struct event {
    int type, action, which, count, code;
    struct { int finger; float x, y; } of[2];
    struct event *next;
} event;

struct queue {
    pthread_mutex_t lock;
    int fd, waiting;
    event *first, **last;
    looper *with;
};

queue *make_queue(void) {
    queue *made = calloc(1, sizeof *made);
    pthread_mutex_init(&made->lock, NULL);
    made->fd = eventfd(0, EFD_NONBLOCK | EFD_SEMAPHORE);
    made->last = &made->first;
    return made;
}

static void add(queue *to, event of) {
    event *made = malloc(sizeof *made);
    *made = of;
    made->next = NULL;
    pthread_mutex_lock(&to->lock);
    *to->last = made;
    to->last = &made->next;
    to->waiting++;
    pthread_mutex_unlock(&to->lock);
    uint64_t one = 1;
    if (write(to->fd, &one, 8) != 8) perror("input");
}

void touch(queue *to, int action, int finger, float x, float y) {
    add(to, (event){.type = MOTION, .action = action, .count = 1, .of = {{finger, x, y}}});
}

void touch_two(queue *to, int action, int which, float x0, float y0, float x1, float y1) {
    add(to, (event){.type = MOTION, .action = action | which << 8, .which = which, .count = 2,
                    .of = {{0, x0, y0}, {1, x1, y1}}});
}

void key(queue *to, int action, int code) { add(to, (event){.type = KEY, .action = action, .code = code}); }

int waiting(queue *in) {
    pthread_mutex_lock(&in->lock);
    int count = in->waiting;
    pthread_mutex_unlock(&in->lock);
    return count;
}

void AInputQueue_attachLooper(queue *it, looper *to, int ident, called callback, void *data) {
    it->with = to;
    ALooper_addFd(to, it->fd, ident, 1, callback, data);
}

void AInputQueue_detachLooper(queue *it) {
    if (it->with) ALooper_removeFd(it->with, it->fd);
}

int AInputQueue_hasEvents(queue *it) { return it->first != NULL; }

int AInputQueue_getEvent(queue *it, event **into) {
    pthread_mutex_lock(&it->lock);
    *into = it->first;
    if (it->first) {
        it->first = it->first->next;
        if (!it->first) it->last = &it->first;
        uint64_t one;
        if (read(it->fd, &one, 8) != 8) perror("input");
    }
    pthread_mutex_unlock(&it->lock);
    return *into ? 0 : -11;
}

int AInputQueue_preDispatchEvent(queue *it, event *of) { (void)it; (void)of; return 0; }

void AInputQueue_finishEvent(queue *it, event *of, int handled) {
    (void)handled;
    pthread_mutex_lock(&it->lock);
    it->waiting--;
    pthread_mutex_unlock(&it->lock);
    free(of);
}

int AInputEvent_getType(const event *of) { return of->type; }
int AInputEvent_getSource(const event *of) { return of->type == KEY ? 0x101 : 0x1002; }
int AInputEvent_getDeviceId(const event *of) { (void)of; return 3; }
int AMotionEvent_getAction(const event *of) { return of->action; }
int AMotionEvent_getActionButton(const event *of) { (void)of; return 0; }
int AMotionEvent_getButtonState(const event *of) { (void)of; return 0; }
size_t AMotionEvent_getPointerCount(const event *of) { return (size_t)of->count; }
int AMotionEvent_getPointerId(const event *of, size_t n) { return of->of[n].finger; }
float AMotionEvent_getX(const event *of, size_t n) { return of->of[n].x; }
float AMotionEvent_getY(const event *of, size_t n) { return of->of[n].y; }
float AMotionEvent_getAxisValue(const event *of, int axis, size_t n) { return axis ? of->of[n].y : of->of[n].x; }
int AKeyEvent_getAction(const event *of) { return of->action; }
int AKeyEvent_getKeyCode(const event *of) { return of->code; }
int AKeyEvent_getMetaState(const event *of) { (void)of; return 0; }
int AKeyEvent_getFlags(const event *of) { (void)of; return 0; }
int AKeyEvent_getRepeatCount(const event *of) { (void)of; return 0; }

/* ---- Window ---- */

struct window {
    int width, height, format, frames, lost;
    uint32_t *front, *back;
    pthread_mutex_t lock;
};

typedef struct { int left, top, right, bottom; } rect;
typedef struct { int width, height, stride, format; void *bits; uint32_t reserved[6]; } buffer;

window *make_window(int width, int height) {
    window *made = calloc(1, sizeof *made);
    made->width = width;
    made->height = height;
    made->format = 1;
    pthread_mutex_init(&made->lock, NULL);
    return made;
}

void lose(window *it, enum lost when) { it->lost = when; }
int frames(window *of) { return of->frames; }
int width_of(window *it) { return it->width; }
void ANativeWindow_acquire(window *it) { (void)it; }
void ANativeWindow_release(window *it) { (void)it; }
int ANativeWindow_getWidth(window *it) { return it->width; }
int ANativeWindow_getHeight(window *it) { return it->height; }
int ANativeWindow_getFormat(window *it) { return it->format; }

int ANativeWindow_setBuffersGeometry(window *it, int width, int height, int format) {
    if (width || height) return -22;
    it->format = format;
    return 0;
}

/* Lines are longer than the window is wide, as on a phone. */
static int stride(const window *it) { return (it->width + 63) / 64 * 64; }

int ANativeWindow_lock(window *it, buffer *into, rect *part) {
    if (it->lost == BEFORE_LOCK) return -19;
    size_t size = (size_t)stride(it) * (size_t)it->height;
    pthread_mutex_lock(&it->lock);
    if (!it->back) it->back = calloc(size, 4);
    if (it->front) {
        /* What lies outside the part is as it was in the frame before. */
        memcpy(it->back, it->front, size * 4);
        if (part)
            for (int y = part->top; y < part->bottom; y++)
                for (int x = part->left; x < part->right; x++)
                    it->back[y * stride(it) + x] = 0xffff00ff; /* Nothing one would draw. */
    } else if (part) {
        *part = (rect){0, 0, it->width, it->height};
    }
    *into = (buffer){it->width, it->height, stride(it), it->format, it->back, {0}};
    return 0;
}

int ANativeWindow_unlockAndPost(window *it) {
    if (it->lost) {
        pthread_mutex_unlock(&it->lock);
        return -19;
    }
    uint32_t *shown = it->back;
    it->back = it->front;
    it->front = shown;
    it->frames++;
    pthread_mutex_unlock(&it->lock);
    return 0;
}

/* ---- Pictures ---- */

static uint32_t crc_table[256];

static uint32_t crc(uint32_t sum, const uint8_t *of, size_t size) {
    if (!crc_table[1])
        for (uint32_t n = 0; n < 256; n++) {
            uint32_t c = n;
            for (int k = 0; k < 8; k++) c = c & 1 ? 0xedb88320u ^ (c >> 1) : c >> 1;
            crc_table[n] = c;
        }
    sum = ~sum;
    while (size--) sum = crc_table[(sum ^ *of++) & 255] ^ (sum >> 8);
    return ~sum;
}

static void big(uint8_t *to, uint32_t number) {
    for (int n = 0; n < 4; n++) to[n] = (uint8_t)(number >> (24 - 8 * n));
}

static void chunk(FILE *to, const char *kind, const uint8_t *data, size_t size) {
    uint8_t number[4];
    big(number, (uint32_t)size);
    fwrite(number, 1, 4, to);
    fwrite(kind, 1, 4, to);
    fwrite(data, 1, size, to);
    big(number, crc(crc(0, (const uint8_t *)kind, 4), data, size));
    fwrite(number, 1, 4, to);
}

void picture(window *of, const char *path) {
    if (!of->front) { fprintf(report, "nothing was drawn for %s\n", path); return; }
    pthread_mutex_lock(&of->lock);
    size_t line = (size_t)of->width * 3 + 1, raw = line * (size_t)of->height;
    uint8_t *plain = malloc(raw), *data = malloc(raw + raw / 60000 * 5 + 64), *at = data;
    for (int y = 0; y < of->height; y++) {
        plain[(size_t)y * line] = 0;
        for (int x = 0; x < of->width; x++)
            memcpy(plain + (size_t)y * line + 1 + (size_t)x * 3, of->front + y * stride(of) + x, 3);
    }
    pthread_mutex_unlock(&of->lock);
    *at++ = 0x78;
    *at++ = 0x01;
    uint32_t a = 1, b = 0;
    for (size_t from = 0; from < raw; from += 60000) {
        size_t size = raw - from < 60000 ? raw - from : 60000;
        *at++ = from + size == raw;
        *at++ = (uint8_t)size;
        *at++ = (uint8_t)(size >> 8);
        *at++ = (uint8_t)~size;
        *at++ = (uint8_t)(~size >> 8);
        memcpy(at, plain + from, size);
        at += size;
    }
    for (size_t n = 0; n < raw; n++) {
        a = (a + plain[n]) % 65521;
        b = (b + a) % 65521;
    }
    big(at, b << 16 | a);
    at += 4;
    FILE *to = fopen(path, "wb");
    fwrite("\x89PNG\r\n\x1a\n", 1, 8, to);
    uint8_t head[13] = {0, 0, 0, 0, 0, 0, 0, 0, 8, 2, 0, 0, 0};
    big(head, (uint32_t)of->width);
    big(head + 4, (uint32_t)of->height);
    chunk(to, "IHDR", head, 13);
    chunk(to, "IDAT", data, (size_t)(at - data));
    chunk(to, "IEND", NULL, 0);
    fclose(to);
    free(plain);
    free(data);
}

/* ---- Configuration, assets, activity ---- */

void *AConfiguration_new(void) { return &configuration; }
void AConfiguration_delete(void *it) { (void)it; }
void AConfiguration_fromAssetManager(void *it, void *from) { (void)it; (void)from; }
void AConfiguration_copy(void *to, void *from) { (void)to; (void)from; }

void *AAssetManager_fromJava(void *env, void *it) { (void)env; return it; }

void ANativeActivity_finish(void *activity) { (void)activity; finished++; }

void ANativeActivity_setWindowFlags(void *activity, uint32_t add, uint32_t remove) {
    (void)activity;
    window_flags = (int)(((uint32_t)window_flags | add) & ~remove);
}
