//! What the phone is set to.
//!
//! Asked of the activity's resources: the asset manager that a native activity keeps is no longer
//! brought up to date once the phone gave the activity another, as it does on a turn.

use android_activity::AndroidApp;
use tautbook_core::language::Language;

use crate::java;

/// The part of a UI mode that tells day from night, and its value by night
/// (`android.content.res.Configuration`).
const NIGHT_MASK: i32 = 0x30;
const NIGHT: i32 = 0x20;

/// What the phone is set to, as far as it matters here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Config {
    pub(crate) dark: bool,
    /// Dots per inch, as the platform rounds them.
    pub(crate) density: u16,
    /// The language, if it is one of ours.
    pub(crate) language: Option<Language>,
}

impl Default for Config {
    fn default() -> Self {
        Self {
            dark: false,
            density: 160,
            language: None,
        }
    }
}

impl Config {
    /// Asks the phone. What it does not say is as usual.
    pub(crate) fn now(app: &AndroidApp) -> Self {
        java::with(app, |env, activity| {
            let resources = call!(
                env,
                activity,
                "getResources",
                "()Landroid/content/res/Resources;"
            )?
            .l()?;
            let set = call!(
                env,
                &resources,
                "getConfiguration",
                "()Landroid/content/res/Configuration;"
            )?
            .l()?;
            let mode = field!(env, &set, "uiMode", "I")?.i()?;
            let density = field!(env, &set, "densityDpi", "I")?.i()?;
            let languages = call!(env, &set, "getLocales", "()Landroid/os/LocaleList;")?.l()?;
            let first = call!(env, &languages, "get", "(I)Ljava/util/Locale;", 0)?.l()?;
            let language = if first.is_null() {
                String::new()
            } else {
                let code = call!(env, &first, "getLanguage", "()Ljava/lang/String;")?.l()?;
                java::text(env, code)?
            };
            Ok(Self {
                dark: mode & NIGHT_MASK == NIGHT,
                density: u16::try_from(density)
                    .ok()
                    .filter(|dots| *dots > 0)
                    .unwrap_or(160),
                language: Language::of_locale(&language),
            })
        })
        .unwrap_or_else(|error| {
            eprintln!("what the phone is set to is unknown: {}", java::why(&error));
            Self::default()
        })
    }
}
