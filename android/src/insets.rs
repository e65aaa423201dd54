//! The edges of the window that bars, cut-outs and round corners take.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use android_activity::{AndroidApp, AndroidAppWaker};
use i_slint_core::lengths::PhysicalEdges;
use jni::Env;
use jni::objects::JObject;

use crate::java;

/// Nothing makes way for the phone's keyboard, which is hidden at first
/// (`android.view.WindowManager.LayoutParams`). A native activity overrides what its manifest says.
const ADJUST_NOTHING: i32 = 0x30 | 0x02;

/// What the main thread found out last, for the thread that draws.
#[derive(Clone)]
pub(crate) struct Insets {
    found: Arc<Mutex<Option<[i32; 4]>>>,
    waker: AndroidAppWaker,
    /// The window was told that the phone's keyboard is not one of its edges.
    told: Arc<AtomicBool>,
}

impl Insets {
    pub(crate) fn new(app: &AndroidApp) -> Self {
        Self {
            found: Arc::default(),
            waker: app.create_waker(),
            told: Arc::default(),
        }
    }

    /// Asks for them, on the thread whose views they are of.
    pub(crate) fn ask(&self, app: &AndroidApp) {
        let (of, asked) = (self.clone(), app.clone());
        app.run_on_java_main_thread(Box::new(move || {
            let first = !of.told.load(Ordering::Relaxed);
            match java::with(&asked, |env, activity| read(env, activity, first)) {
                Ok(edges) => {
                    of.told.store(true, Ordering::Relaxed);
                    if edges.is_some() {
                        *of.found.lock().unwrap_or_else(PoisonError::into_inner) = edges;
                        of.waker.wake();
                    }
                }
                Err(error) => eprintln!("the window's edges are unknown: {}", java::why(&error)),
            }
        }));
    }

    /// What was found since this was last asked.
    pub(crate) fn take(&self) -> Option<PhysicalEdges> {
        let [left, top, right, bottom] = self
            .found
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take()?;
        Some(PhysicalEdges::new(top, bottom, left, right))
    }
}

/// Left, top, right, bottom in pixels; `None` as long as the window is not laid out.
fn read(env: &mut Env<'_>, activity: &JObject<'_>, first: bool) -> java::Result<Option<[i32; 4]>> {
    let window = call!(env, activity, "getWindow", "()Landroid/view/Window;")?.l()?;
    if first {
        call!(env, &window, "setSoftInputMode", "(I)V", ADJUST_NOTHING)?;
    }
    let view = call!(env, &window, "getDecorView", "()Landroid/view/View;")?.l()?;
    let all = call!(
        env,
        &view,
        "getRootWindowInsets",
        "()Landroid/view/WindowInsets;"
    )?
    .l()?;
    if all.is_null() {
        return Ok(None);
    }
    let mut edges = [
        call!(env, &all, "getSystemWindowInsetLeft", "()I")?.i()?,
        call!(env, &all, "getSystemWindowInsetTop", "()I")?.i()?,
        call!(env, &all, "getSystemWindowInsetRight", "()I")?.i()?,
        call!(env, &all, "getSystemWindowInsetBottom", "()I")?.i()?,
    ];
    let cut_out = call!(
        env,
        &all,
        "getDisplayCutout",
        "()Landroid/view/DisplayCutout;"
    )?
    .l()?;
    if !cut_out.is_null() {
        let of_cut_out = [
            call!(env, &cut_out, "getSafeInsetLeft", "()I")?.i()?,
            call!(env, &cut_out, "getSafeInsetTop", "()I")?.i()?,
            call!(env, &cut_out, "getSafeInsetRight", "()I")?.i()?,
            call!(env, &cut_out, "getSafeInsetBottom", "()I")?.i()?,
        ];
        for (edge, more) in edges.iter_mut().zip(of_cut_out) {
            *edge = (*edge).max(more);
        }
    }
    Ok(Some(edges.map(|edge| edge.max(0))))
}
