//! ui
