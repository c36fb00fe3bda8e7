//! What is painted into where there is no window.

use std::sync::Arc;

use three_d::context as gl;
use three_d::context::HasContext as _;

/// A framebuffer with colour and depth of its own.
pub(super) struct Offscreen {
    gl: Arc<gl::Context>,
    framebuffer: gl::Framebuffer,
    buffers: [gl::Renderbuffer; 2],
}

impl Offscreen {
    pub(super) fn new(gl: Arc<gl::Context>, width: u32, height: u32) -> Result<Offscreen, String> {
        let wrong = |_| format!("{width} × {height} is too large");
        let (w, h) = (i32::try_from(width).map_err(wrong)?, i32::try_from(height).map_err(wrong)?);
        // SAFETY: names are made by this context and attached to each other; it is current.
        unsafe {
            let largest = gl.get_parameter_i32(gl::MAX_RENDERBUFFER_SIZE);
            if w < 1 || h < 1 || w > largest || h > largest {
                return Err(format!("this driver draws 1 to {largest} pixels each way"));
            }
            let target = Offscreen {
                framebuffer: gl.create_framebuffer()?,
                buffers: [gl.create_renderbuffer()?, gl.create_renderbuffer()?],
                gl,
            };
            target.bind();
            let formats = [(gl::RGBA8, gl::COLOR_ATTACHMENT0), (gl::DEPTH_COMPONENT24, gl::DEPTH_ATTACHMENT)];
            for (buffer, (format, attachment)) in target.buffers.iter().zip(formats) {
                target.gl.bind_renderbuffer(gl::RENDERBUFFER, Some(*buffer));
                target.gl.renderbuffer_storage(gl::RENDERBUFFER, format, w, h);
                target.gl.framebuffer_renderbuffer(gl::FRAMEBUFFER, attachment, gl::RENDERBUFFER, Some(*buffer));
            }
            Ok(target)
        }
    }

    pub(super) fn bind(&self) {
        // SAFETY: the framebuffer belongs to this context and lives.
        unsafe { self.gl.bind_framebuffer(gl::FRAMEBUFFER, Some(self.framebuffer)) }
    }
}

impl Drop for Offscreen {
    fn drop(&mut self) {
        // SAFETY: as above; nothing else uses these names.
        unsafe {
            self.gl.bind_framebuffer(gl::FRAMEBUFFER, None);
            self.gl.delete_framebuffer(self.framebuffer);
            self.buffers.iter().for_each(|b| self.gl.delete_renderbuffer(*b));
        }
    }
}
