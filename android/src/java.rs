//! Calls into the platform's Java.

use android_activity::AndroidApp;
use jni::errors::Error;
use jni::objects::{JObject, JString};
use jni::{Env, JavaVM};

pub(crate) type Result<T> = std::result::Result<T, Error>;

/// `call!(env, object, "method", "(signature)", argument, ...)`.
macro_rules! call {
    ($env:expr, $on:expr, $name:literal, $signature:literal $(, $argument:expr)* $(,)?) => {
        $env.call_method(
            $on,
            jni::jni_str!($name),
            jni::jni_sig!($signature),
            &[$(jni::JValue::from($argument)),*],
        )
    };
}

/// `call_static!(env, "the/Class", "method", "(signature)", argument, ...)`.
macro_rules! call_static {
    ($env:expr, $class:literal, $name:literal, $signature:literal $(, $argument:expr)* $(,)?) => {
        $env.call_static_method(
            jni::jni_str!($class),
            jni::jni_str!($name),
            jni::jni_sig!($signature),
            &[$(jni::JValue::from($argument)),*],
        )
    };
}

/// `field!(env, object, "name", "signature")`.
macro_rules! field {
    ($env:expr, $on:expr, $name:literal, $signature:literal) => {
        $env.get_field($on, jni::jni_str!($name), jni::jni_sig!($signature))
    };
}

/// `new!(env, "the/Class", "(signature)V", argument, ...)`.
macro_rules! new {
    ($env:expr, $class:literal, $signature:literal $(, $argument:expr)* $(,)?) => {
        $env.new_object(
            jni::jni_str!($class),
            jni::jni_sig!($signature),
            &[$(jni::JValue::from($argument)),*],
        )
    };
}

/// Does something with this thread's Java environment and the activity. References made meanwhile
/// are given back at the end. An exception becomes an error.
pub(crate) fn with<T>(
    app: &AndroidApp,
    work: impl FnOnce(&mut Env<'_>, &JObject<'_>) -> Result<T>,
) -> Result<T> {
    // SAFETY: the pointer is this process's Java machine, which outlives every activity.
    let vm = unsafe { JavaVM::from_raw(app.vm_as_ptr().cast()) };
    let activity: jni::sys::jobject = app.activity_as_ptr().cast();
    vm.attach_current_thread(|env| {
        // SAFETY: a global reference to the activity that `app` holds as long as it lives.
        let activity = unsafe { env.as_cast_raw::<JObject<'_>>(&activity)? };
        work(env, activity.as_ref())
    })
}

/// An intent of `action` for an item of the shared storage, whose address goes along as `extra`, with the
/// right to use it that `grants` gives.
pub(crate) fn intent<'e>(
    env: &mut Env<'e>,
    action: &str,
    (extra, item): (&str, &str),
    grants: i32,
) -> Result<JObject<'e>> {
    let action = env.new_string(action)?;
    let intent = new!(
        env,
        "android/content/Intent",
        "(Ljava/lang/String;)V",
        &action
    )?;
    let address = crate::storage::address(env, item)?;
    let extra = env.new_string(extra)?;
    call!(
        env,
        &intent,
        "putExtra",
        "(Ljava/lang/String;Landroid/os/Parcelable;)Landroid/content/Intent;",
        &extra,
        &address,
    )?;
    let label = env.new_string("Tautbook")?;
    let clip = call_static!(
        env,
        "android/content/ClipData",
        "newRawUri",
        "(Ljava/lang/CharSequence;Landroid/net/Uri;)Landroid/content/ClipData;",
        &label,
        &address,
    )?
    .l()?;
    call!(
        env,
        &intent,
        "setClipData",
        "(Landroid/content/ClipData;)V",
        &clip,
    )?;
    call!(
        env,
        &intent,
        "addFlags",
        "(I)Landroid/content/Intent;",
        grants,
    )?;
    Ok(intent)
}

/// Starts what acts on an intent.
pub(crate) fn start(env: &mut Env<'_>, activity: &JObject<'_>, intent: &JObject<'_>) -> Result<()> {
    call!(
        env,
        activity,
        "startActivity",
        "(Landroid/content/Intent;)V",
        intent,
    )?;
    Ok(())
}

/// A Java string as ours; blank where there is none.
pub(crate) fn text(env: &mut Env<'_>, object: JObject<'_>) -> Result<String> {
    if object.is_null() {
        return Ok(String::new());
    }
    let string = env.cast_local::<JString<'_>>(object)?;
    string.try_to_string(env)
}

/// What `toString` of an object says; blank where there is none.
pub(crate) fn said(env: &mut Env<'_>, object: &JObject<'_>) -> Result<String> {
    if object.is_null() {
        return Ok(String::new());
    }
    let string = call!(env, object, "toString", "()Ljava/lang/String;")?.l()?;
    text(env, string)
}

/// The class of the exception behind an error, such as `android.content.ActivityNotFoundException`.
pub(crate) fn exception(error: &Error) -> &str {
    match error {
        Error::CaughtJavaException { name, .. } => name,
        _ => "",
    }
}

/// An error in a few words, for a sentence.
pub(crate) fn why(error: &Error) -> String {
    match error {
        Error::CaughtJavaException { name, msg, .. } => format!("{name}: {msg}"),
        other => other.to_string(),
    }
}
