//! Renders every screen to a picture under `target/pictures`, with sample data, in both looks.
