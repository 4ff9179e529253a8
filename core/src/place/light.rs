//! What light does on its way: light time, aberration, bending by the Sun.
