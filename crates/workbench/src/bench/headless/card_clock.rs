//! How long the graphics card works, by its own clock.

use std::time::Duration;

use three_d::context as gl;
use three_d::context::HasContext as _;

/// How long a picture took.
#[derive(Clone, Copy, Debug)]
pub struct Timed {
    /// Until everything was handed to the driver, by the clock that was given. The card is idle when it begins and is not
    /// waited for.
    pub handed_over: Duration,
    /// Until it was drawn.
    pub drawn: Duration,
    /// How long the card worked, by its own clock; `None` where it has none.
    pub on_card: Option<Duration>,
}

/// The clock of the card, running.
pub(super) struct CardClock<'a> {
    gl: &'a gl::Context,
    query: gl::Query,
}

pub(super) struct StoppedClock<'a>(CardClock<'a>);

impl<'a> CardClock<'a> {
    /// In OpenGL since 3.3; OpenGL ES has none.
    pub(super) fn start(gl: &'a gl::Context) -> Option<CardClock<'a>> {
        if gl.version().is_embedded {
            return None;
        }
        // SAFETY: the query is made by this context, which is current, and no other of its kind runs.
        unsafe {
            let query = gl.create_query().ok()?;
            gl.begin_query(gl::TIME_ELAPSED, query);
            Some(CardClock { gl, query })
        }
    }

    pub(super) fn stop(self) -> StoppedClock<'a> {
        // SAFETY: it was begun by `start`.
        unsafe { self.gl.end_query(gl::TIME_ELAPSED) };
        StoppedClock(self)
    }
}

impl StoppedClock<'_> {
    /// To be read once everything is drawn.
    pub(super) fn read(self) -> Option<Duration> {
        let CardClock { gl, query } = self.0;
        // SAFETY: the query was ended; nothing else uses it.
        let ns = unsafe {
            let ns = gl.get_query_parameter_u64(query, gl::QUERY_RESULT);
            gl.delete_query(query);
            ns
        };
        (ns > 0).then(|| Duration::from_nanos(ns))
    }
}
