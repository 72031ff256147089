//! An opening of our own invention, without a leaf.

pub const BARE: &str = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}],"leaves":[{"leaf":"A","name":"door","hinge":"left"}]}"#;
