//! Renderers.
