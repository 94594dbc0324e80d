//! The measures of an airframe, and the lines between them.

/// Stations in mm from the type's datum, positive aft; lengths in mm. `from..to` pairs run aft.
#[derive(Debug, Clone, PartialEq)]
pub struct AirframeShape {
    pub nose: f64,
    pub tail_end: f64,
    /// Front and rear end of the canopy.
    pub cockpit: (f64, f64),
    pub fuselage_width: f64,
    pub fuselage_height: f64,
    /// Leading and trailing edge at the root and at the tip.
    pub wing_root: (f64, f64),
    pub wing_tip: (f64, f64),
    pub semi_span: f64,
    /// The fin's leading edge, at its root and at its top.
    pub fin_root: f64,
    pub fin_top: f64,
    /// From the centre line of the tail boom to the top of the fin.
    pub fin_height: f64,
    pub rudder_hinge: f64,
    /// Leading and trailing edge at the root.
    pub tailplane: (f64, f64),
    /// On top of the fin (T-tail); else on the boom.
    pub is_t_tail: bool,
    pub tailplane_semi_span: f64,
    pub main_wheel: f64,
    pub nose_wheel: Option<f64>,
    pub tail_wheel: f64,
    /// False for the generic sailplane: its stations mean nothing.
    pub is_to_scale: bool,
}

impl AirframeShape {
    /// A sailplane of common proportions (common practice, no source), for a type without an outline.
    pub fn generic() -> AirframeShape {
        AirframeShape {
            nose: -2000.0,
            tail_end: 4900.0,
            cockpit: (-1550.0, -200.0),
            fuselage_width: 640.0,
            fuselage_height: 850.0,
            wing_root: (0.0, 900.0),
            wing_tip: (250.0, 600.0),
            semi_span: 7500.0,
            fin_root: 3950.0,
            fin_top: 4150.0,
            fin_height: 1250.0,
            rudder_hinge: 4550.0,
            tailplane: (4100.0, 4600.0),
            is_t_tail: true,
            tailplane_semi_span: 1250.0,
            main_wheel: 150.0,
            nose_wheel: None,
            tail_wheel: 4100.0,
            is_to_scale: false,
        }
    }

    pub fn length(&self) -> f64 {
        self.tail_end - self.nose
    }

    /// Where the pod has become the boom.
    fn boom_begin(&self) -> f64 {
        self.wing_root.1 + 0.3 * (self.fin_root - self.wing_root.1)
    }

    /// Upper edge of the fuselage at a station, from the boom's centre line. Its course between the measures of
    /// the type is proportion only.
    pub fn top_at(&self, station: f64) -> f64 {
        let h = self.fuselage_height;
        let (front, rear) = self.cockpit;
        between(
            &mut [
                (self.nose, -0.15 * h),
                (front, 0.1 * h),
                (front + 0.5 * (rear - front), 0.45 * h),
                (rear, 0.45 * h),
                (self.wing_root.1, 0.35 * h),
                (self.boom_begin(), 0.17 * h),
                (self.fin_root, 0.12 * h),
                (self.tail_end, 0.1 * h),
            ],
            station,
        )
    }

    pub fn bottom_at(&self, station: f64) -> f64 {
        let h = self.fuselage_height;
        let (front, rear) = self.cockpit;
        between(
            &mut [
                (self.nose, -0.25 * h),
                (front, -0.5 * h),
                (rear, -0.55 * h),
                (self.wing_root.1, -0.4 * h),
                (self.boom_begin(), -0.17 * h),
                (self.fin_root, -0.14 * h),
                (self.tail_end, -0.12 * h),
            ],
            station,
        )
    }

    /// Half the width of the fuselage at a station.
    pub fn half_width_at(&self, station: f64) -> f64 {
        let w = 0.5 * self.fuselage_width;
        let (front, rear) = self.cockpit;
        between(
            &mut [
                (self.nose, 0.12 * w),
                (front, 0.65 * w),
                (front + 0.4 * (rear - front), w),
                (rear, w),
                (self.wing_root.1, 0.75 * w),
                (self.boom_begin(), 0.35 * w),
                (self.fin_root, 0.25 * w),
                (self.tail_end, 0.05 * w),
            ],
            station,
        )
    }

    /// Stations at which the course of the fuselage bends, nose to tail end.
    pub fn knots(&self) -> Vec<f64> {
        let (front, rear) = self.cockpit;
        let mut knots = vec![
            self.nose,
            front,
            front + 0.4 * (rear - front),
            front + 0.5 * (rear - front),
            rear,
            self.wing_root.1,
            self.boom_begin(),
            self.fin_root,
        ];
        knots.push(self.tail_end);
        knots.retain(|knot| (self.nose..=self.tail_end).contains(knot));
        knots.sort_by(f64::total_cmp);
        knots
    }

    /// Height of the wing's root section in the side view.
    pub fn wing_height(&self) -> f64 {
        0.25 * self.fuselage_height
    }

    pub fn tailplane_height(&self) -> f64 {
        if self.is_t_tail { self.fin_height } else { self.top_at(self.tailplane.0) + 0.05 * self.fin_height }
    }

    /// Leading and trailing edge of the wing at `share` of the half span (0 root, 1 tip).
    pub fn wing_at(&self, share: f64) -> (f64, f64) {
        let mix = |root: f64, tip: f64| root + share * (tip - root);
        (mix(self.wing_root.0, self.wing_tip.0), mix(self.wing_root.1, self.wing_tip.1))
    }

    /// The same of the tailplane; its taper is proportion only.
    pub fn tailplane_at(&self, share: f64) -> (f64, f64) {
        let (front, rear) = self.tailplane;
        (front + share * 0.3 * (rear - front), rear)
    }

    /// The fin's leading edge at `share` of its height (0 root, 1 top).
    pub fn fin_edge_at(&self, share: f64) -> f64 {
        self.fin_root + share * (self.fin_top - self.fin_root)
    }
}

/// Straight lines between points in any order; beyond the ends the end's value.
fn between(points: &mut [(f64, f64)], at: f64) -> f64 {
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let after = points.iter().position(|point| point.0 >= at);
    match after {
        Some(0) => points.first().map_or(0.0, |point| point.1),
        None => points.last().map_or(0.0, |point| point.1),
        Some(index) => {
            let ((x0, y0), (x1, y1)) = (points[index - 1], points[index]);
            if x1 > x0 { y0 + (at - x0) / (x1 - x0) * (y1 - y0) } else { y1 }
        }
    }
}
