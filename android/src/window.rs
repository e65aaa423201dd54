//! The window as Slint sees it, and the platform it asks for one.

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};
use std::time::Duration;

use i_slint_core::InternalToken;
use i_slint_core::lengths::PhysicalEdges;
use i_slint_core::window::{InputMethodRequest, WindowAdapterInternal, WindowInner};
use slint::platform::software_renderer::{RepaintBufferType, SoftwareRenderer};
use slint::platform::{Platform, PlatformError, Renderer, WindowAdapter, WindowEvent};
use slint::{LogicalSize, PhysicalSize, Window, WindowSize};

/// A window drawn by the software renderer into a buffer that is kept from frame to frame.
pub(crate) struct PhoneWindow {
    window: Window,
    renderer: SoftwareRenderer,
    size: Cell<PhysicalSize>,
    insets: Cell<PhysicalEdges>,
    wants_redraw: Cell<bool>,
    /// What stands in the field that has the keyboard.
    typed: RefCell<Option<String>>,
    /// A field has taken the keyboard or given it back, and that was not asked for yet.
    focus_changed: Cell<bool>,
}

impl PhoneWindow {
    pub(crate) fn new() -> Rc<Self> {
        Rc::new_cyclic(|itself: &Weak<Self>| Self {
            window: Window::new(itself.clone() as Weak<dyn WindowAdapter>),
            renderer: SoftwareRenderer::new_with_repaint_buffer_type(
                RepaintBufferType::ReusedBuffer,
            ),
            size: Cell::default(),
            insets: Cell::default(),
            wants_redraw: Cell::new(true),
            typed: RefCell::default(),
            focus_changed: Cell::new(false),
        })
    }

    pub(crate) fn renderer(&self) -> &SoftwareRenderer {
        &self.renderer
    }

    pub(crate) fn wants_redraw(&self) -> bool {
        self.wants_redraw.get()
    }

    /// Whether there was something to draw; there is nothing any more.
    pub(crate) fn take_redraw(&self) -> bool {
        self.wants_redraw.replace(false)
    }

    /// Draws into a new buffer: nothing of the last frame is there.
    pub(crate) fn forget_frame(&self) {
        self.renderer
            .set_repaint_buffer_type(RepaintBufferType::NewBuffer);
        self.wants_redraw.set(true);
    }

    /// Draws over the last frame again.
    pub(crate) fn keep_frame(&self) {
        self.renderer
            .set_repaint_buffer_type(RepaintBufferType::ReusedBuffer);
    }

    /// Leaves the edges that bars, cut-outs and round corners take, in physical pixels.
    pub(crate) fn set_insets(&self, insets: PhysicalEdges) {
        if self.insets.replace(insets) != insets {
            WindowInner::from_pub(&self.window)
                .set_window_item_safe_area(insets.to_logical(self.window.scale_factor()));
            self.wants_redraw.set(true);
        }
    }

    /// What stands in the field that has the keyboard; `None` where none has it.
    pub(crate) fn typed(&self) -> Option<String> {
        self.typed.borrow().clone()
    }

    /// Whether a field has the keyboard now, when one took it or gave it back since this was last asked.
    pub(crate) fn take_focus(&self) -> Option<bool> {
        self.focus_changed
            .replace(false)
            .then(|| self.typed.borrow().is_some())
    }
}

impl WindowAdapter for PhoneWindow {
    fn window(&self) -> &Window {
        &self.window
    }

    fn renderer(&self) -> &dyn Renderer {
        &self.renderer
    }

    fn size(&self) -> PhysicalSize {
        self.size.get()
    }

    fn set_size(&self, size: WindowSize) {
        let scale = self.window.scale_factor();
        let size = size.to_physical(scale);
        self.size.set(size);
        // The renderer cuts parts of a pixel off: a length must not come out as just below a whole one.
        #[allow(clippy::cast_precision_loss)] // A few thousand.
        let logical = |pixels: u32| (pixels as f32 + 0.01) / scale;
        self.window.dispatch_event(WindowEvent::Resized {
            size: LogicalSize::new(logical(size.width), logical(size.height)),
        });
    }

    fn request_redraw(&self) {
        self.wants_redraw.set(true);
    }

    fn internal(&self, _: InternalToken) -> Option<&dyn WindowAdapterInternal> {
        Some(self)
    }
}

impl WindowAdapterInternal for PhoneWindow {
    fn safe_area_inset(&self) -> PhysicalEdges {
        self.insets.get()
    }

    fn input_method_request(&self, request: InputMethodRequest) {
        let (typed, took_focus) = match request {
            InputMethodRequest::Enable(field) => (Some(field.text.into()), true),
            InputMethodRequest::Update(field) => (Some(field.text.into()), false),
            _ => (None, false),
        };
        let before = self.typed.replace(typed);
        if took_focus || before.is_some() != self.typed.borrow().is_some() {
            self.focus_changed.set(true);
        }
    }
}

/// The platform under the screens of one activity.
pub(crate) struct PhonePlatform(pub(crate) Rc<PhoneWindow>);

impl Platform for PhonePlatform {
    fn create_window_adapter(&self) -> Result<Rc<dyn WindowAdapter>, PlatformError> {
        Ok(self.0.clone())
    }

    /// The text cursor stands still: a blink would wake the phone twice a second.
    fn cursor_flash_cycle(&self) -> Duration {
        Duration::ZERO
    }
}
