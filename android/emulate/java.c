/* A Java machine that has no Java: classes, methods and fields are their names, every call is written
   down and answered by the phone. */
#include "jni-order.h"
#include "phone.h"

typedef struct {
    char *class_name, *name, *signature;
} member;

static __thread object *thrown;
static void *functions[JNI_FUNCTIONS];
static void **environment = functions;
static void *machine_functions[8];
static void **machine = machine_functions;
static __thread bool attached;

void *java_machine(void) { return &machine; }
void *java_environment(void) { return &environment; }

object *new_object(const char *class_name, const char *text) {
    object *made = calloc(1, sizeof *made);
    made->class_name = strdup(class_name);
    made->text = text ? strdup(text) : NULL;
    return made;
}

void throw_new(const char *class_name, const char *message) { thrown = new_object(class_name, message); }

/* What is missing says its number, by a function for each. */
static void missing(int number) {
    fprintf(report, "the Java environment has no function %d, see jni-order.h\n", number);
    abort();
}
#define M(n) static void missing_##n(void) { missing(n); }
#define TEN(d) M(d##0) M(d##1) M(d##2) M(d##3) M(d##4) M(d##5) M(d##6) M(d##7) M(d##8) M(d##9)
TEN() TEN(1) TEN(2) TEN(3) TEN(4) TEN(5) TEN(6) TEN(7) TEN(8) TEN(9) TEN(10) TEN(11) TEN(12) TEN(13) TEN(14)
TEN(15) TEN(16) TEN(17) TEN(18) TEN(19) TEN(20) TEN(21) TEN(22) TEN(23)
#undef M
#define M(n) missing_##n,
static void (*const missing_functions[])(void) = {
    TEN() TEN(1) TEN(2) TEN(3) TEN(4) TEN(5) TEN(6) TEN(7) TEN(8) TEN(9) TEN(10) TEN(11) TEN(12) TEN(13) TEN(14)
    TEN(15) TEN(16) TEN(17) TEN(18) TEN(19) TEN(20) TEN(21) TEN(22) TEN(23)
};

static int get_version(void *env) { (void)env; return 0x00010006; }

static object *find_class(void *env, const char *name) {
    (void)env;
    return new_object("java/lang/Class", name);
}

static object *exception_occurred(void *env) { (void)env; return thrown; }
static void exception_clear(void *env) { (void)env; thrown = NULL; }
static uint8_t exception_check(void *env) { (void)env; return thrown != NULL; }
static int throw_it(void *env, object *it) { (void)env; thrown = it; return 0; }
static int push_frame(void *env, int capacity) { (void)env; (void)capacity; return 0; }
static object *pop_frame(void *env, object *result) { (void)env; return result; }
static object *same(void *env, object *it) { (void)env; return it; }
static void drop(void *env, object *it) { (void)env; (void)it; }
static uint8_t is_same(void *env, object *one, object *other) { (void)env; return one == other; }
static int ensure(void *env, int capacity) { (void)env; (void)capacity; return 0; }

static object *class_of(void *env, object *it) {
    (void)env;
    return new_object("java/lang/Class", it->class_name);
}

static uint8_t is_instance(void *env, object *it, object *of) { (void)env; (void)it; (void)of; return 1; }
static uint8_t is_assignable(void *env, object *one, object *other) { (void)env; (void)one; (void)other; return 1; }
static object *super_class(void *env, object *of) { (void)env; (void)of; return NULL; }
static int ref_type(void *env, object *it) { (void)env; return it ? 1 : 0; }

static member *find_member(void *env, object *of, const char *name, const char *signature) {
    (void)env;
    member *found = malloc(sizeof *found);
    *found = (member){strdup(of->text), strdup(name), strdup(signature)};
    return found;
}

static value call(object *self, member *what, const value *with) {
    return answer(what->class_name, what->name, self, with);
}

static object *new_by(void *env, object *class_name, member *what, const value *with) {
    (void)env;
    object *made = new_object(class_name->text, NULL);
    answer(what->class_name, "<init>", made, with);
    return made;
}

#define CALLS(name, type, part)                                                                         \
    static type call_##name(void *env, object *self, member *what, const value *with) {                \
        (void)env;                                                                                      \
        return call(self, what, with).part;                                                             \
    }                                                                                                   \
    static type static_##name(void *env, object *of, member *what, const value *with) {                \
        (void)env; (void)of;                                                                            \
        return call(NULL, what, with).part;                                                             \
    }                                                                                                   \
    static type field_##name(void *env, object *self, member *what) {                                   \
        (void)env;                                                                                      \
        return call(self, what, NULL).part;                                                             \
    }

CALLS(object, object *, l)
CALLS(boolean, uint8_t, z)
CALLS(int, int32_t, i)
CALLS(long, int64_t, j)
CALLS(float, float, f)
CALLS(double, double, d)

static void call_void(void *env, object *self, member *what, const value *with) {
    (void)env;
    call(self, what, with);
}

static object *new_string(void *env, const char *text) {
    (void)env;
    return new_object("java/lang/String", text);
}

static int string_length(void *env, object *string) { (void)env; return (int)strlen(string->text); }

static const char *string_text(void *env, object *string, uint8_t *copied) {
    (void)env;
    if (copied) *copied = 0;
    return string->text;
}

static void string_done(void *env, object *string, const char *text) { (void)env; (void)string; (void)text; }

static object *new_array(void *env, int count, object *of, object *first) {
    (void)env; (void)of;
    object *made = new_object("array", NULL);
    made->count = count;
    for (int n = 0; n < count && n < 8; n++) made->held[n] = first;
    return made;
}

static int array_length(void *env, object *array) { (void)env; return array->count; }
static object *array_get(void *env, object *array, int n) { (void)env; return array->held[n]; }

static int get_machine(void *env, void **into) { (void)env; *into = &machine; return 0; }

static int attach(void *vm, void **env, void *with) {
    (void)vm; (void)with;
    attached = true;
    *env = &environment;
    return 0;
}

static int detach(void *vm) { (void)vm; attached = false; return 0; }

static int get_env(void *vm, void **env, int version) {
    (void)vm; (void)version;
    *env = attached ? (void *)&environment : NULL;
    return attached ? 0 : -2;
}

__attribute__((constructor)) static void fill(void) {
    for (int n = 0; n < JNI_FUNCTIONS; n++) functions[n] = (void *)missing_functions[n];
#define IS(name, function) functions[JNI_##name] = function
    IS(GetVersion, get_version);
    IS(FindClass, find_class);
    IS(GetSuperclass, super_class);
    IS(IsAssignableFrom, is_assignable);
    IS(Throw, throw_it);
    IS(ExceptionOccurred, exception_occurred);
    IS(ExceptionClear, exception_clear);
    IS(ExceptionCheck, exception_check);
    IS(PushLocalFrame, push_frame);
    IS(PopLocalFrame, pop_frame);
    IS(NewGlobalRef, same);
    IS(NewLocalRef, same);
    IS(DeleteGlobalRef, drop);
    IS(DeleteLocalRef, drop);
    IS(IsSameObject, is_same);
    IS(EnsureLocalCapacity, ensure);
    IS(GetObjectClass, class_of);
    IS(IsInstanceOf, is_instance);
    IS(GetObjectRefType, ref_type);
    IS(GetMethodID, find_member);
    IS(GetStaticMethodID, find_member);
    IS(GetFieldID, find_member);
    IS(GetStaticFieldID, find_member);
    IS(NewObjectA, new_by);
    IS(CallObjectMethodA, call_object);
    IS(CallBooleanMethodA, call_boolean);
    IS(CallIntMethodA, call_int);
    IS(CallLongMethodA, call_long);
    IS(CallFloatMethodA, call_float);
    IS(CallDoubleMethodA, call_double);
    IS(CallVoidMethodA, call_void);
    IS(CallStaticObjectMethodA, static_object);
    IS(CallStaticBooleanMethodA, static_boolean);
    IS(CallStaticIntMethodA, static_int);
    IS(CallStaticLongMethodA, static_long);
    IS(CallStaticFloatMethodA, static_float);
    IS(CallStaticDoubleMethodA, static_double);
    IS(CallStaticVoidMethodA, call_void);
    IS(GetObjectField, field_object);
    IS(GetIntField, field_int);
    IS(GetStaticObjectField, field_object);
    IS(GetStaticIntField, field_int);
    IS(GetBooleanField, field_boolean);
    IS(NewStringUTF, new_string);
    IS(GetStringUTFLength, string_length);
    IS(GetStringUTFChars, string_text);
    IS(ReleaseStringUTFChars, string_done);
    IS(NewObjectArray, new_array);
    IS(GetArrayLength, array_length);
    IS(GetObjectArrayElement, array_get);
    IS(GetJavaVM, get_machine);
    machine_functions[4] = attach;
    machine_functions[5] = detach;
    machine_functions[6] = get_env;
    machine_functions[7] = attach;
    attached = true;
    (void)field_long; (void)field_float; (void)field_double;
}
