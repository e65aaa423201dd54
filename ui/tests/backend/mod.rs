//! Where the screens are drawn in the tests.

use i_slint_backend_testing::{TestingBackend, TestingBackendOptions};

/// One backend for all tests of this thread.
pub(crate) fn backend() {
    thread_local! {
        static SET: std::cell::OnceCell<()> = const { std::cell::OnceCell::new() };
    }
    SET.with(|set| {
        set.get_or_init(|| {
            i_slint_core::platform::set_platform(Box::new(TestingBackend::new(
                TestingBackendOptions {
                    mock_time: true,
                    renderer_name: Some("software".into()),
                    ..TestingBackendOptions::default()
                },
            )))
            .unwrap();
        });
    });
}
