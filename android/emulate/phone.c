/* Runs the phone's library as a phone would: `phone LIBRARY DATA SHARED PICTURES WHAT`, where WHAT is
   one of the runs at the end. DATA is the app's own folder, SHARED the phone's pictures and downloads.
   What is expected and not so ends it with a message and 1. */
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "phone.h"

FILE *calls, *report;
static const char *shared_folder, *pictures;

#define MUST(condition, ...)                                                                   \
    do                                                                                         \
        if (!(condition)) {                                                                    \
            fprintf(report, "line %d: ", __LINE__);                                            \
            fprintf(report, __VA_ARGS__);                                                      \
            fprintf(report, "\n");                                                             \
            exit(1);                                                                           \
        }                                                                                      \
    while (0)

/* ---- What Java answers ---- */

static enum { TAKES, GIVES_NOTHING, NOT_THERE, REFUSED, NO_ROOM } camera;
static char camera_item[200], sent_items[2][200], dialog_text[200];
static int dialog_shown, sent, stepped_aside, buzzes, chosen_to_share, items, deleted, light_signs;
static bool within_anothers_task, digits_only;
static char item_name[100], item_names[20][100];
static object *start;

/* The file behind an item: `content://media/.../N`, or one that was sent. */
static const char *path_of(const char *item) {
    static __thread char path[400];
    if (!strncmp(item, "content://sent/", 15)) return item + 14;
    snprintf(path, sizeof path, "%s/%s", shared_folder, strrchr(item, '/') + 1);
    return path;
}

static value nothing(void) { return (value){.j = 0}; }
static value is(int number) { return (value){.j = number}; }
static value of(object *it) { return (value){.l = it}; }
static value string(const char *text) { return of(text ? new_object("java/lang/String", text) : NULL); }

value answer(const char *class_name, const char *method, object *self, const value *with) {
#define ON(name) if (!strcmp(method, name))
    fprintf(calls, "%s.%s%s%s\n", class_name, method, self && self->text ? " " : "", self && self->text ? self->text : "");
    ON("parse") return of(new_object("android/net/Uri", with[0].l->text));
    ON("toString") return string(self->text ? self->text : "");
    ON("insert") {
        if (camera == NO_ROOM) return nothing();
        char item[200];
        snprintf(item, sizeof item, "%s/%d", with[0].l->text, ++items);
        strcpy(item_names[items], item_name);
        /* There is no file before somebody writes one. */
        return of(new_object("android/net/Uri", item));
    }
    ON("delete") {
        deleted++;
        return is(!unlink(path_of(with[0].l->text)));
    }
    ON("update") return is(1);
    ON("put") {
        if (!strcmp(with[0].l->text, "_display_name")) strcpy(item_name, with[1].l->text);
        return nothing();
    }
    ON("openFileDescriptor") {
        object *made = new_object("android/os/ParcelFileDescriptor", path_of(with[0].l->text));
        made->count = with[1].l->text[0] == 'w';
        if (!made->count && access(made->text, F_OK)) {
            throw_new("java.io.FileNotFoundException", "open failed: ENOENT (No such file or directory)");
            return nothing();
        }
        return of(made);
    }
    ON("detachFd") return is(open(self->text, self->count ? O_WRONLY | O_CREAT | O_TRUNC : O_RDONLY, 0600));
    ON("query") {
        const char *item = with[0].l->text;
        object *cursor = new_object("android/database/Cursor", NULL);
        if (!strcmp(with[1].l->held[0]->text, "_size")) {
            struct stat about;
            char size[20];
            snprintf(size, sizeof size, "%ld", stat(path_of(item), &about) ? 0 : (long)about.st_size);
            cursor->text = strdup(size);
        } else {
            bool was_sent = !strncmp(item, "content://sent/", 15);
            const char *last = strrchr(item, '/') + 1;
            cursor->text = strdup(was_sent ? last : item_names[atoi(last)]);
        }
        return of(cursor);
    }
    ON("moveToFirst") return is(1);
    ON("getString") return string(self->text);
    ON("<init>") {
        const char *last = class_name + strlen(class_name) - 6;
        if (last >= class_name && !strcmp(last, "Intent")) self->text = strdup(with[0].l->text);
        return nothing();
    }
    ON("putExtra") {
        if (!strcmp(with[0].l->text, "output")) strcpy(camera_item, with[1].l->text);
        return of(self);
    }
    ON("createChooser") return of(new_object("android/content/Intent", "chooser"));
    ON("startActivity") {
        object *intent = with[0].l;
        if (!strcmp(intent->text, "chooser")) chosen_to_share++;
        if (!strcmp(intent->text, "android.media.action.IMAGE_CAPTURE")) {
            if (camera == NOT_THERE) throw_new("android.content.ActivityNotFoundException", "none");
            if (camera == REFUSED) throw_new("java.lang.SecurityException", "refused");
        }
        return nothing();
    }
    ON("getIntent") return of(start);
    ON("getAction") return string(self->text);
    ON("setAction") {
        self->text = NULL;
        return of(self);
    }
    ON("getData") return of(new_object("android/net/Uri", sent_items[0]));
    ON("getParcelableExtra") return of(new_object("android/net/Uri", sent_items[0]));
    ON("getParcelableArrayListExtra") return of(new_object("java/util/ArrayList", NULL));
    ON("size") return is(sent);
    ON("hasSystemFeature") return is(1);
    ON("vibrate") {
        buzzes++;
        return nothing();
    }
    ON("isTaskRoot") return is(!within_anothers_task);
    ON("moveTaskToBack") {
        stepped_aside++;
        return is(1);
    }
    ON("finish") {
        finished++;
        return nothing();
    }
    ON("getSystemWindowInsetTop") return is(96);
    ON("getSystemWindowInsetBottom") return is(64);
    ON("getDisplayCutout") return nothing();
    ON("isShowing") return is(dialog_shown);
    ON("setInputType") {
        /* What is typed into a field for numbers goes through a filter. */
        digits_only = (with[0].i & 15) == 2;
        return nothing();
    }
    ON("dismiss") {
        dialog_shown = 0;
        return nothing();
    }
    ON("setSystemUiVisibility") {
        light_signs = !with[0].i;
        return nothing();
    }
    ON("uiMode") return is(configuration.night == 2 ? 0x21 : 0x11);
    ON("densityDpi") return is(configuration.density);
    ON("getLanguage") return string(configuration.language);
    ON("show") {
        dialog_shown = 1;
        return nothing();
    }
    ON("append") {
        char *to = dialog_text;
        for (const char *sign = with[0].l->text; *sign; sign++)
            if (!digits_only || strchr("0123456789.+-", *sign)) *to++ = *sign;
        *to = 0;
        return nothing();
    }
    ON("getText") return of(new_object("android/text/Editable", dialog_text));
    ON("get") {
        if (strstr(class_name, "LocaleList")) return of(new_object("java/util/Locale", NULL));
        if (strstr(class_name, "ArrayList")) return of(new_object("android/net/Uri", sent_items[with[0].i]));
        /* Letters of a keyboard that is plugged in. */
        return is(with[0].i >= 29 && with[0].i <= 54 ? 'a' + with[0].i - 29 : 0);
    }
    ON("forName") return of(new_object("java/lang/Class", with[0].l->text));
    ON("loadClass") return of(new_object("java/lang/Class", with[0].l->text));
    ON("getName") return string(self->text ? self->text : self->class_name);
    ON("getMessage") return string(self->text);
    ON("getStackTrace") return of(new_object("array", NULL));
    ON("getClass") return of(new_object("java/lang/Class", self->class_name));
#define MAKES(name, class) ON(name) return of(new_object(class, NULL));
    MAKES("getApplication", "android/app/Application")
    MAKES("getAssets", "android/content/res/AssetManager")
    MAKES("getClassLoader", "java/lang/ClassLoader")
    MAKES("getContextClassLoader", "java/lang/ClassLoader")
    MAKES("currentThread", "java/lang/Thread")
    MAKES("getContentResolver", "android/content/ContentResolver")
    MAKES("getPackageManager", "android/content/pm/PackageManager")
    MAKES("getSystemService", "android/os/Vibrator")
    MAKES("createOneShot", "android/os/VibrationEffect")
    MAKES("newRawUri", "android/content/ClipData")
    MAKES("valueOf", "java/lang/Integer")
    MAKES("getResources", "android/content/res/Resources")
    MAKES("getConfiguration", "android/content/res/Configuration")
    MAKES("getLocales", "android/os/LocaleList")
    MAKES("getWindow", "android/view/Window")
    MAKES("getDecorView", "android/view/View")
    MAKES("getRootWindowInsets", "android/view/WindowInsets")
    MAKES("create", "android/app/AlertDialog")
    MAKES("getDevice", "android/view/InputDevice")
    MAKES("getKeyCharacterMap", "android/view/KeyCharacterMap")
    return method[0] == 's' || method[0] == 'a' ? of(self) : nothing();
}

/* ---- An activity ---- */

typedef struct activity activity;
struct callbacks {
    void (*start)(activity *), (*resume)(activity *);
    void *(*save_state)(activity *, size_t *);
    void (*pause)(activity *), (*stop)(activity *), (*destroy)(activity *);
    void (*focus)(activity *, int);
    void (*window_created)(activity *, window *), (*window_resized)(activity *, window *);
    void (*window_redraw)(activity *, window *), (*window_destroyed)(activity *, window *);
    void (*queue_created)(activity *, queue *), (*queue_destroyed)(activity *, queue *);
    void (*content_rect)(activity *, const int *);
    void (*configuration)(activity *), (*low_memory)(activity *);
};
struct activity {
    struct callbacks *callbacks;
    void *vm, *env;
    object *instance_of_java;
    const char *internal, *external;
    int sdk;
    void *instance, *assets;
    const char *obb;
};

static void (*on_create)(activity *, void *, size_t);
static const char *data;
static activity *now;
static window *shown;
static queue *input;

static void show_window(int width, int height) {
    shown = make_window(width, height);
    now->callbacks->window_created(now, shown);
}

static int first_frame;

static int milliseconds(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return (int)(at.tv_sec * 1000 + at.tv_nsec / 1000000);
}

/* The most that was resident, the emulator's own with it, in MB. */
static int most_memory(void) {
    char line[200];
    int kilobytes = 0;
    FILE *status = fopen("/proc/self/status", "r");
    while (status && fgets(line, sizeof line, status)) sscanf(line, "VmHWM: %d", &kilobytes);
    return kilobytes / 1000;
}

static void launch(void *state, size_t size) {
    int from = milliseconds();
    now = calloc(1, sizeof *now);
    now->callbacks = calloc(1, sizeof *now->callbacks);
    now->vm = java_machine();
    now->env = java_environment();
    now->instance_of_java = new_object("android/app/NativeActivity", NULL);
    now->internal = data;
    now->external = data;
    now->sdk = 34;
    now->assets = &configuration;
    on_create(now, state, size);
    now->callbacks->start(now);
    now->callbacks->resume(now);
    input = make_queue();
    now->callbacks->queue_created(now, input);
    show_window(1080, 2340);
    now->callbacks->focus(now, 1);
    while (!frames(shown) && milliseconds() - from < 60000) run_here(5);
    if (!first_frame) first_frame = milliseconds() - from;
}

/* Bytes of the state that the activity left last: with any, what started it is taken in. */
static size_t left_state;

static void go_away(void) {
    now->callbacks->focus(now, 0);
    now->callbacks->pause(now);
    left_state = 0;
    free(now->callbacks->save_state(now, &left_state));
    now->callbacks->window_destroyed(now, shown);
    now->callbacks->stop(now);
}

static void come_back(void) {
    now->callbacks->start(now);
    now->callbacks->resume(now);
    show_window(1080, 2340);
    now->callbacks->focus(now, 1);
}

static void destroy(void) {
    now->callbacks->queue_destroyed(now, input);
    now->callbacks->destroy(now);
}

/* Until everything that was put in was taken out and nothing more is drawn. */
static void settle(void) {
    for (int still = 0, last = -1, n = 0; still < 3 && n < 400; n++) {
        run_here(100);
        still = waiting(input) == 0 && frames(shown) == last && last > 0 ? still + 1 : 0;
        last = frames(shown);
    }
    MUST(waiting(input) == 0, "touches were not taken");
    MUST(frames(shown) > 0, "nothing was drawn");
}

static void see(const char *name) {
    char path[400];
    snprintf(path, sizeof path, "%s/%s.png", pictures, name);
    settle();
    picture(shown, path);
}

static void tap(float x, float y) {
    touch(input, 0, 0, x, y);
    touch(input, 1, 0, x, y);
    settle();
}

static void press(int code) {
    key(input, 0, code);
    key(input, 1, code);
    settle();
}

enum { BACK = 4 };

static void idle(void) {
    settle();
    int before = polls, drawn = frames(shown);
    run_here(2000);
    MUST(polls - before <= 1, "%d wake-ups in 2 s with nothing to do", polls - before);
    MUST(frames(shown) == drawn, "%d frames in 2 s with nothing to do", frames(shown) - drawn);
}

/* ---- Runs ---- */

/* Until the phone buzzes for the first time in a run: something was taken in. */
static void wait_for_buzz(const char *what) {
    for (int n = 0; n < 60 && !buzzes; n++) run_here(500);
    MUST(buzzes == 1, "%s was not taken in", what);
}

/* A day file is sent to a phone that has no book yet. */
static void arrive(void) {
    start = new_object("android/content/Intent", "android.intent.action.VIEW");
    launch(NULL, 0);
    wait_for_buzz("the day file");
    see("arrive-1-taken-in");
    press(BACK);
    see("arrive-2-today");
    idle();
    int before = stepped_aside;
    press(BACK);
    MUST(stepped_aside == before + 1, "back on the first screen does not leave");
    go_away();
    come_back();
    see("arrive-3-back");
    go_away();
    destroy();
    /* The same process, the same intent as the phone gives it again. */
    int had = buzzes;
    launch("1", 1);
    see("arrive-4-again");
    MUST(buzzes == had, "the day file was taken in twice");
    lose(shown, BEFORE_POST);
    now->callbacks->window_redraw(now, shown);
    run_here(300);
    lose(shown, BEFORE_LOCK);
    now->callbacks->window_redraw(now, shown);
    run_here(300);
    now->callbacks->window_destroyed(now, shown);
    show_window(2340, 1080);
    see("arrive-5-rotated");
    now->callbacks->low_memory(now);
    see("arrive-6-low-memory");
    configuration.night = 2;
    now->callbacks->configuration(now);
    see("arrive-7-night");
    run_here(300);
    MUST(light_signs, "the signs of the phone's bars are dark by night");
    /* Within another program's task it must not hide that one. */
    within_anothers_task = true;
    int aside = stepped_aside;
    for (int n = 0; n < 4 && !finished; n++) press(BACK);
    MUST(finished == 1 && stepped_aside == aside, "back does not give the sender back");
    go_away();
    destroy();
}

/* The keys of Read, from the left and the top of the keypad: 0 to 2 across, 0 to 4 down. */
static void keypad(int column, int row) { tap(181 + 357 * (float)column, 827 + 320 * (float)row); }

/* A reading, with a phone that is turned and left in the middle of it, and a storage that is full. */
static void reading(void) {
    launch(NULL, 0);
    see("read-1");
    MUST(window_flags & 0x80, "the screen does not stay on");
    keypad(0, 0);
    see("read-2-one-key");
    /* The heel of the hand as well: nothing is pressed by it. */
    touch(input, 0, 0, 540, 500);
    touch_two(input, 5, 1, 540, 500, 540, 1300);
    touch_two(input, 6, 1, 540, 500, 540, 1300);
    touch(input, 3, 0, 540, 500);
    now->callbacks->window_destroyed(now, shown);
    show_window(2340, 1080);
    see("read-3-turned");
    now->callbacks->window_destroyed(now, shown);
    show_window(1080, 2340);
    settle();
    go_away();
    destroy();
    launch("1", 1);
    see("read-4-as-it-was");
    keypad(1, 0);
    int had = buzzes;
    storage_full = true;
    keypad(2, 4);
    see("read-5-full");
    MUST(buzzes == had, "it said saved with a full storage");
    storage_full = false;
    keypad(2, 4); /* Closes the message, which lies over it. */
    keypad(2, 4);
    see("read-6-saved");
    MUST(buzzes == had + 1, "the reading was not saved");
    go_away();
    destroy();
}

/* A file that is no day file, on a phone whose language has three letters. */
static void wrong_file(void) {
    strcpy(configuration.language, "fil");
    start = new_object("android/content/Intent", "android.intent.action.SEND");
    launch(NULL, 0);
    run_here(3000);
    see("wrong-file");
    MUST(buzzes == 0, "a file that is no day file was taken in");
    go_away();
    destroy();
}

/* The phone's camera: what it was asked for is in `camera_item`. */
static void ask_camera(void) {
    camera_item[0] = 0;
    tap(270, 2130);
}

static void close_message(void) { tap(540, 2130); }

static void copy(const char *from, const char *to) {
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    MUST(in && out, "cannot copy %s to %s", from, to);
    for (int c; (c = fgetc(in)) != EOF;) fputc(c, out);
    fclose(in);
    fclose(out);
}

/* The camera that is not there, refused, without room, without a picture; then a picture is taken
   while the app is ended by the phone. */
static void camera_used(void) {
    launch(NULL, 0);
    see("camera-1-photos");
    camera = NOT_THERE;
    ask_camera();
    MUST(camera_item[0], "the camera was not asked");
    see("camera-2-not-there");
    close_message();
    camera = REFUSED;
    ask_camera();
    see("camera-3-refused");
    close_message();
    camera = NO_ROOM;
    ask_camera();
    MUST(!camera_item[0], "the camera was asked without an item");
    see("camera-4-no-room");
    MUST(deleted == 2, "%d items tidied, not 2", deleted);
    close_message();
    camera = TAKES;
    ask_camera();
    MUST(camera_item[0], "the camera was not asked again");
    go_away();
    come_back();
    see("camera-5-gave-nothing");
    MUST(deleted == 2, "a camera that is late has nothing to write to");
    close_message();
    int before = items;
    camera_item[0] = 0;
    touch(input, 0, 0, 270, 2130);
    touch(input, 1, 0, 270, 2130);
    touch(input, 0, 0, 270, 2130);
    touch(input, 1, 0, 270, 2130);
    settle();
    MUST(camera_item[0], "the camera was not asked once more");
    MUST(items == before + 1, "two presses asked it %d times", items - before);
    go_away();
    copy(sent_items[0] + 14, path_of(camera_item));
    storage_full = true;
    come_back();
    run_here(500);
    see("camera-6-no-room-for-it");
    MUST(deleted == 2, "the photo went");
    go_away();
    storage_full = false;
    /* The phone ends the app here: nothing more of it runs. */
}

/* The app was ended while the camera was open; then one more, which turns out to be no picture. */
static void camera_left(void) {
    launch("1", 1);
    wait_for_buzz("the camera's photo");
    run_here(300);
    MUST(deleted == 1, "the photo stays among the phone's pictures as well");
    see("camera-7-kept");
    ask_camera();
    MUST(camera_item[0], "the camera was not asked");
    go_away();
    copy(sent_items[0] + 14, path_of(camera_item));
    come_back();
    run_here(2000);
    see("camera-8-no-picture");
    MUST(deleted == 1, "a photo that was not kept went from the phone's pictures");
    MUST(buzzes == 1, "what is no picture was kept");
    go_away();
    destroy();
}

/* A photo that was brought over and not kept yet when the phone ended the app, and one that it ended
   the app over twice. */
static void photo_again(void) {
    launch("1", 1);
    wait_for_buzz("the photo");
    see("again-1-kept");
    go_away();
    destroy();
}

/* A photo that another program sends, with no record open that could take it: it waits, over an end of
   the app. */
static void photo_waits(void) {
    start = new_object("android/content/Intent", "android.intent.action.SEND");
    launch(NULL, 0);
    run_here(1000);
    see("waits-1-sent");
    MUST(!buzzes, "it was kept somewhere");
}

static void photo_waited(void) {
    launch("1", 1);
    run_here(1000);
    see("waits-2-still");
    tap(540, 2130);
    see("waits-3-message-closed");
    tap(540, 1640);
    see("waits-4-photos");
    wait_for_buzz("the photo that waited");
    see("waits-5-kept");
    go_away();
    destroy();
}

/* A day file is sent while the book cannot be opened; then it can. */
static void trouble(void) {
    start = new_object("android/content/Intent", "android.intent.action.VIEW");
    launch(NULL, 0);
    run_here(1000);
    see("trouble-1-book");
    go_away();
    MUST(!left_state, "a day file that was not taken in passes for taken in");
    come_back();
    char spoilt[400], book[300];
    snprintf(book, sizeof book, "%s/book.taut", data);
    snprintf(spoilt, sizeof spoilt, "%s.aside", book);
    tap(540, 838);
    for (int n = 0; n < 60 && !chosen_to_share; n++) run_here(500);
    MUST(chosen_to_share == 1, "a copy of the book was offered %d times", chosen_to_share);
    see("trouble-2-copy-offered");
    MUST(!rename(spoilt, book), "no book to put back");
    tap(810, 2130);
    wait_for_buzz("the day file");
    see("trouble-3-taken-in");
    go_away();
    MUST(left_state, "a day file that was taken in would be taken in again");
    destroy();
}

/* The book cannot be opened: its copy is sent, and another one started. */
static void anew(void) {
    launch(NULL, 0);
    run_here(1000);
    tap(540, 838);
    for (int n = 0; n < 60 && !chosen_to_share; n++) run_here(500);
    MUST(chosen_to_share == 1, "a copy of the book was offered %d times", chosen_to_share);
    see("anew-1-copied");
    tap(540, 1682);
    run_here(1000);
    see("anew-2-new-book");
    go_away();
    destroy();
}

/* The keys of the keyboard for gloves, from the left and the top: 0 to 3 across, 0 to 4 down. */
static void letter(int column, int row) { tap(145 + 263 * (float)column, 1197.5f + 236.5f * (float)row); }

/* The keyboard for gloves, a turn while it is there, and the phone's own keyboard in its dialog. */
static void typing(void) {
    launch(NULL, 0);
    see("type-1-form");
    tap(500, 1090);
    see("type-2-keyboard");
    letter(3, 2);
    letter(0, 1);
    see("type-3-ha");
    now->callbacks->window_destroyed(now, shown);
    show_window(2340, 1080);
    see("type-4-turned");
    now->callbacks->window_destroyed(now, shown);
    show_window(1080, 2340);
    see("type-5-back");
    letter(0, 4);
    run_here(1000);
    MUST(dialog_shown, "the phone's own keyboard was not shown");
    MUST(!strcmp(dialog_text, "Ha"), "the dialog begins with '%s'", dialog_text);
    now->callbacks->focus(now, 0);
    strcpy(dialog_text, "Hall 3, dock");
    run_here(1000);
    see("type-6-while-typed");
    strcpy(dialog_text, "Hall 3, dock side");
    dialog_shown = 0;
    run_here(1000);
    now->callbacks->focus(now, 1);
    see("type-7-from-dialog");
    letter(3, 4);
    see("type-8-done");
    go_away();
    destroy();
}

/* A keyboard that is paired: its letters go into the field, and the one for gloves stays away. */
static void typed_by_keys(void) {
    enum { H = 36, I = 37, DEL = 67, ENTER = 66 };
    launch(NULL, 0);
    tap(500, 1090);
    see("keys-0-before");
    press(H);
    press(I);
    press(I);
    press(DEL);
    see("keys-1-typed");
    press(ENTER);
    run_here(500);
    see("keys-2-kept");
    go_away();
    destroy();
}

/* A photo that is opened with it in another program, with the photos of a record open. */
static void photo_sent(void) {
    start = new_object("android/content/Intent", "android.intent.action.VIEW");
    launch("1", 0);
    wait_for_buzz("the photo");
    see("photo-1-kept");
    go_away();
    destroy();
}

/* Two at once. */
static void photos_sent(void) {
    start = new_object("android/content/Intent", "android.intent.action.SEND_MULTIPLE");
    launch("1", 0);
    for (int n = 0; n < 60 && buzzes < 2; n++) run_here(1000);
    MUST(buzzes == 2, "%d of two photos kept", buzzes);
    see("photo-2-both-kept");
    go_away();
    destroy();
}

/* The day's file, made and offered to what can send it. */
static void shared(void) {
    launch(NULL, 0);
    see("share-1-send");
    tap(540, 2130);
    /* While it is made, the button for it is not to be pressed; then it is the one that sends. */
    for (int n = 0; n < 60 && !chosen_to_share; n++) {
        run_here(1000);
        tap(700, 2130);
    }
    see("share-2-offered");
    MUST(chosen_to_share == 1, "it was offered %d times", chosen_to_share);
    MUST(items == 1 && !deleted, "%d items, %d of them deleted", items, deleted);
    go_away();
    destroy();
}

static const struct { const char *name; void (*run)(void); } runs[] = {
    {"arrive", arrive}, {"read", reading}, {"wrong", wrong_file}, {"camera", camera_used},
    {"left", camera_left}, {"type", typing}, {"keys", typed_by_keys}, {"photo", photo_sent},
    {"photos", photos_sent},
    {"again", photo_again}, {"share", shared}, {"waits", photo_waits}, {"waited", photo_waited},
    {"trouble", trouble}, {"anew", anew},
};

int main(int count, char **given) {
    /* The library takes 1 and 2 for the log. */
    calls = fdopen(dup(1), "w");
    report = fdopen(dup(2), "w");
    setvbuf(report, NULL, _IONBF, 0);
    MUST(count >= 6 && count <= 8, "phone LIBRARY DATA SHARED PICTURES WHAT [SENT [SENT]]");
    data = given[2];
    shared_folder = given[3];
    pictures = given[4];
    for (; sent < count - 6; sent++)
        snprintf(sent_items[sent], sizeof sent_items[sent], "content://sent%s", given[6 + sent]);
    setvbuf(calls, NULL, _IOLBF, 0);
    looper_here();
    void *library = dlopen(given[1], RTLD_NOW);
    MUST(library, "%s", dlerror());
    on_create = (void (*)(activity *, void *, size_t))dlsym(library, "ANativeActivity_onCreate");
    MUST(on_create, "no entry point");
    for (size_t n = 0; n < sizeof runs / sizeof *runs; n++)
        if (!strcmp(given[5], runs[n].name)) {
            runs[n].run();
            fprintf(report, "%s: as expected, %d ms to the first frame, %d MB at most with the emulator\n",
                    given[5], first_frame, most_memory());
            fflush(NULL);
            _exit(0);
        }
    MUST(0, "no run called %s", given[5]);
}
