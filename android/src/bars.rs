//! The signs of the phone's own bars, which lie over what the screens draw.

use android_activity::AndroidApp;

use crate::java;

/// Dark signs on the status and the navigation bar (`android.view.View`).
const DARK_SIGNS: i32 = 0x2000 | 0x10;

/// Makes the clock and the rest light on a dark ground, and dark on a light one.
pub(crate) fn suit(app: &AndroidApp, dark_ground: bool) {
    let of = app.clone();
    app.run_on_java_main_thread(Box::new(move || {
        let told = java::with(&of, |env, activity| {
            let window = call!(env, activity, "getWindow", "()Landroid/view/Window;")?.l()?;
            let view = call!(env, &window, "getDecorView", "()Landroid/view/View;")?.l()?;
            let signs = if dark_ground { 0 } else { DARK_SIGNS };
            call!(env, &view, "setSystemUiVisibility", "(I)V", signs)?;
            Ok(())
        });
        if let Err(error) = told {
            eprintln!("the bars stay as they are: {}", java::why(&error));
        }
    }));
}
