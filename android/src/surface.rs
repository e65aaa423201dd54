//! What is drawn, brought to the window.
//!
//! Slint draws into a picture of our own, only what changed. Of that the window is given the part
//! that changed, or more where the platform says that its buffer has less of the last frame. A
//! window that is lost meanwhile costs nothing: the picture is still whole.

use std::rc::Rc;

use ndk::hardware_buffer_format::HardwareBufferFormat;
use ndk::native_window::{NativeWindow, NativeWindowBufferLockGuard, Rect};
use slint::platform::WindowAdapter as _;
use slint::platform::software_renderer::PremultipliedRgbaColor;

use crate::window::PhoneWindow;

unsafe extern "C" {
    /// Shows what was drawn into a window that was locked; less than 0 where it is gone.
    fn ANativeWindow_unlockAndPost(window: *mut std::ffi::c_void) -> i32;
}

/// The picture of the last frame.
#[derive(Default)]
pub(crate) struct Surface {
    picture: Vec<PremultipliedRgbaColor>,
    width: usize,
    height: usize,
    /// The part of the picture that the window does not show yet: left, top, right, bottom.
    unshown: Option<[usize; 4]>,
    shaped: bool,
    /// The window could not be had the last time.
    refused: bool,
}

impl Surface {
    /// A new window: it shows nothing yet.
    pub(crate) fn new_window(&mut self) {
        self.shaped = false;
        self.show_all();
    }

    /// Shows the whole picture again.
    pub(crate) fn show_all(&mut self) {
        if !self.picture.is_empty() {
            self.unshown = Some([0, 0, self.width, self.height]);
        }
    }

    /// Gives the picture's memory back; the next frame is drawn whole.
    pub(crate) fn forget(&mut self, window: &PhoneWindow) {
        *self = Self::default();
        window.forget_frame();
    }

    /// Whether there is something the window does not show.
    pub(crate) fn wants_showing(&self) -> bool {
        self.unshown.is_some()
    }

    /// Whether the window could not be had the last time: it is about to go, or to be another.
    pub(crate) fn was_refused(&self) -> bool {
        self.refused
    }

    /// Draws what changed and shows it.
    pub(crate) fn draw(&mut self, window: &Rc<PhoneWindow>, onto: &NativeWindow) {
        self.render(window);
        if self.unshown.is_some() {
            self.refused = self.show(onto).is_err();
            if !self.refused {
                self.unshown = None;
            }
        }
    }

    fn render(&mut self, window: &Rc<PhoneWindow>) {
        let size = window.size();
        let (width, height) = (size.width as usize, size.height as usize);
        if width == 0 || height == 0 {
            return;
        }
        if (width, height) != (self.width, self.height) {
            self.picture = vec![PremultipliedRgbaColor::default(); width * height];
            (self.width, self.height) = (width, height);
            self.unshown = None;
            window.forget_frame();
        }
        if !window.take_redraw() {
            return;
        }
        let drawn = window.renderer().render(&mut self.picture, width);
        window.keep_frame();
        for (from, size) in drawn.iter() {
            let left = usize::try_from(from.x).unwrap_or(0).min(width);
            let top = usize::try_from(from.y).unwrap_or(0).min(height);
            let right = (left + size.width as usize).min(width);
            let bottom = (top + size.height as usize).min(height);
            if left < right && top < bottom {
                self.unshown = Some(match self.unshown {
                    None => [left, top, right, bottom],
                    Some(part) => [
                        part[0].min(left),
                        part[1].min(top),
                        part[2].max(right),
                        part[3].max(bottom),
                    ],
                });
            }
        }
    }

    /// Copies what the window does not show. Where it cannot be had now, another frame will show it.
    fn show(&mut self, onto: &NativeWindow) -> std::io::Result<()> {
        let Some([left, top, right, bottom]) = self.unshown else {
            return Ok(());
        };
        if !self.shaped {
            onto.set_buffers_geometry(0, 0, Some(HardwareBufferFormat::R8G8B8X8_UNORM))?;
            self.shaped = true;
        }
        let edge = |at: usize| i32::try_from(at).unwrap_or(i32::MAX);
        let mut part = Rect {
            left: edge(left),
            top: edge(top),
            right: edge(right),
            bottom: edge(bottom),
        };
        let mut buffer = onto.lock(Some(&mut part))?;
        self.copy(&mut buffer, &part);
        // Its own end asserts that the window is still there, and the phone may take it at any time.
        std::mem::forget(buffer);
        // SAFETY: the window is a live reference, and was locked above.
        match unsafe { ANativeWindow_unlockAndPost(onto.ptr().as_ptr().cast()) } {
            0 => Ok(()),
            error => Err(std::io::Error::from_raw_os_error(-error)),
        }
    }

    /// Copies a part of the picture into the window's buffer.
    fn copy(&self, buffer: &mut NativeWindowBufferLockGuard<'_>, part: &Rect) {
        // A window of another size than the picture was drawn for: it is drawn again for that.
        let width = buffer.width().min(self.width);
        let height = buffer.height().min(self.height);
        let from = |at: i32, most: usize| usize::try_from(at).unwrap_or(0).min(most);
        let (left, right) = (from(part.left, width), from(part.right, width));
        let (top, bottom) = (from(part.top, height), from(part.bottom, height));
        if left >= right || buffer.format() != HardwareBufferFormat::R8G8B8X8_UNORM {
            return;
        }
        let stride = buffer.stride();
        let Some(bytes) = buffer.bytes() else {
            return;
        };
        for row in top..bottom {
            let line = &self.picture[row * self.width + left..row * self.width + right];
            let to = &mut bytes[(row * stride + left) * 4..(row * stride + right) * 4];
            for (to, from) in to.chunks_exact_mut(4).zip(line) {
                to[0].write(from.red);
                to[1].write(from.green);
                to[2].write(from.blue);
                to[3].write(0xff);
            }
        }
    }
}
