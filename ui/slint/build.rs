//! Compiles the screens, with their words in each language.

use slint_build::DefaultTranslationContext;

fn main() {
    let tests = std::env::var("PROFILE").is_ok_and(|profile| profile != "release")
        || std::env::var_os("CARGO_FEATURE_ELEMENT_TREE").is_some();
    let config = slint_build::CompilerConfiguration::new()
        .embed_resources(slint_build::EmbedResourcesKind::EmbedFiles)
        .with_bundled_translations("../../lang")
        .with_default_translation_context(DefaultTranslationContext::None)
        .with_debug_info(tests);
    if let Err(error) = slint_build::compile_with_config("app.slint", config) {
        panic!("the screens do not compile: {error}");
    }
}
