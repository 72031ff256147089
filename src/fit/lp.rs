//! Linear programmes of our size behind one small trait.
