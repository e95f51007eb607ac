//! Limiting cases: where a formula must meet another one, or a plain fact.

use bench::belts::drive::belt_drive;
use bench::bottom_end::bearing_clearance::{bearing_clearance, clearance_from_shells};
use bench::brakes::{balance_bar::balance_bar, heat::repeated_stops, run_out::run_out_together};
use bench::clutch::{pair_compared::effort_ratio, torque_capacity::*};
use bench::cylinders::atmosphere::{SEA_LEVEL, standard_pressure};
use bench::cylinders::compression_ratio::{Chamber, compression_ratio};
use bench::cylinders::leak_down::{leak_area_ratio, leak_share};
use bench::cylinders::piston_motion::{effective_compression, piston_drop};
use bench::electrics::battery::state_of_charge;
use bench::fluids::quantities::{exchange, reconciled};
use bench::fluids::viscosity::{ViscosityLine, blend_viscosity};
use bench::fluids::viscosity_index::viscosity_index;
use bench::springs::rate::spring_rate;
use bench::springs::ride::{frequency_from_deflection, ride_frequency, wheel_rate};
use bench::threads::angle::{bolt_stiffness, preload_of_angle};
use bench::threads::extension::wrench_setting;
use bench::threads::tightening::{preload_by_nut_factor, torque_by_nut_factor, torque_for_preload};
use bench::valve_train::float_speed::float_speed;
use bench::valve_train::heights_compared::row_compared;
use bench::valve_train::installed_height::installed_spring;
use bench::valve_train::surge::surge;
use bench::wheels::alignment::{thrust_angle, toe_angle, toe_difference};
use bench::wheels::gearing::{engine_speed, road_speed};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1e-9)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_piston_falls_from_nought_to_its_stroke(stroke in 0.02f64..0.2, rod in 1.2f64..3.0, angle in 0.0f64..PI) {
        let drop = |crank| piston_drop(stroke, rod * stroke, crank, 0.0).unwrap();
        prop_assert!(drop(0.0).abs() < 1e-15);
        prop_assert!(near(drop(PI), stroke));
        prop_assert!(near(drop(angle), drop(-angle)) && drop(angle) >= 0.0 && drop(angle) <= stroke + 1e-12);
    }

    #[test]
    fn an_inlet_that_closes_at_bottom_leaves_the_static_ratio(bore in 0.05f64..0.12, stroke in 0.05f64..0.12, clearance in 2e-5f64..1e-4) {
        let of = Chamber { bore, stroke, chamber: clearance, gasket_bore: bore, gasket_thickness: 0.0, deck: 0.0, dish: 0.0 };
        let effective = effective_compression(bore, stroke, 2.0 * stroke, 0.0, clearance).unwrap();
        prop_assert!(near(effective.ratio, compression_ratio(of).unwrap().ratio));
    }

    #[test]
    fn a_thin_ring_holds_alike_in_both_clutch_forms(outer in 0.1f64..0.4, clamp in 500f64..9000.0, friction in 0.1f64..0.5) {
        let inner = outer * (1.0 - 1e-6);
        let wear = torque_uniform_wear(clamp, friction, outer, inner, 2.0).unwrap();
        let pressure = torque_uniform_pressure(clamp, friction, outer, inner, 2.0).unwrap();
        prop_assert!((wear / pressure - 1.0).abs() < 1e-5);
        // A wider ring holds more by the form for a new disc.
        let wide = outer * 0.6;
        prop_assert!(torque_uniform_pressure(clamp, friction, outer, wide, 2.0).unwrap() > torque_uniform_wear(clamp, friction, outer, wide, 2.0).unwrap());
    }

    #[test]
    fn the_intended_pair_of_cylinders_changes_no_effort(master in 0.01f64..0.03, slave in 0.01f64..0.03) {
        prop_assert!(near(effort_ratio(master, slave, master, slave).unwrap(), 1.0));
    }

    #[test]
    fn without_friction_torque_is_work_over_angle(preload in 1e3f64..1e5, pitch in 5e-4f64..3e-3) {
        let parts = torque_for_preload(preload, pitch, 5e-3, 7e-3, PI / 6.0, 0.0, 0.0).unwrap();
        prop_assert!(near(parts.torque * TAU, preload * pitch));
    }

    #[test]
    fn torque_and_preload_undo_each_other(torque in 1f64..300.0, factor in 0.1f64..0.4, diameter in 5e-3f64..2e-2) {
        let preload = preload_by_nut_factor(torque, factor, diameter).unwrap();
        prop_assert!(near(torque_by_nut_factor(preload, factor, diameter).unwrap(), torque));
    }

    #[test]
    fn an_extension_counts_by_its_length_along_the_wrench(torque in 1f64..300.0, wrench in 0.1f64..1.0, extension in 0.0f64..0.5) {
        prop_assert!(near(wrench_setting(torque, wrench, 0.0, 0.3).unwrap(), torque));
        prop_assert!(near(wrench_setting(torque, wrench, extension, PI / 2.0).unwrap(), torque));
        prop_assert!(wrench_setting(torque, wrench, extension, 0.0).unwrap() <= torque);
    }

    #[test]
    fn a_rigid_joint_gives_all_the_turn_to_the_bolt(angle in 0.1f64..6.0, pitch in 5e-4f64..3e-3, area in 1e-5f64..2e-4, length in 0.02f64..0.2) {
        let k = bolt_stiffness(2.05e11, area, 0.01, length, 0.0).unwrap();
        prop_assert!(near(k, 2.05e11 * area / length));
        let preload = preload_of_angle(angle, pitch, k, 1e30).unwrap();
        prop_assert!(near(preload, k * angle / TAU * pitch));
    }

    #[test]
    fn run_outs_add_in_line_and_cancel_opposite(hub in 0.0f64..1e-4, disc in 0.0f64..1e-4) {
        prop_assert!(near(run_out_together(hub, disc, 0.0).unwrap(), hub + disc));
        prop_assert!((run_out_together(hub, disc, PI).unwrap() - (hub - disc).abs()).abs() < 1e-10);
    }

    #[test]
    fn rare_stops_do_not_add_up(rise in 1f64..200.0, constant in 50f64..600.0) {
        prop_assert!(near(repeated_stops(rise, 60.0 * constant, constant).unwrap(), rise));
        prop_assert!(repeated_stops(rise, 0.1 * constant, constant).unwrap() > 9.0 * rise);
    }

    #[test]
    fn a_centred_bar_pushes_alike(force in 1f64..800.0, bore in 0.012f64..0.025) {
        let balance = balance_bar(force, 5.0, 0.063, 0.0, bore, bore).unwrap();
        prop_assert!(near(balance.front, balance.rear) && near(balance.front_push, 0.5));
    }

    #[test]
    fn a_spring_at_its_free_length_carries_nothing(rate in 5e3f64..1e5, free in 0.03f64..0.09, lift in 0.0f64..0.015) {
        let spring = installed_spring(rate, free, free, lift, 0.01).unwrap();
        prop_assert_eq!(spring.seat_load, 0.0);
        prop_assert!(near(spring.open_load, rate * lift));
    }

    #[test]
    fn a_spring_cut_in_half_is_twice_as_stiff(wire in 2e-3f64..2e-2, diameter in 0.02f64..0.2, coils in 3f64..12.0) {
        let k = |coils| spring_rate(wire, diameter, coils, 7.93e10).unwrap();
        prop_assert!(near(k(coils / 2.0), 2.0 * k(coils)));
        let surge = surge(wire, diameter, coils, 7.93e10, 7850.0).unwrap();
        prop_assert!(near(surge.held, 2.0 * surge.free));
    }

    #[test]
    fn a_spring_at_the_wheel_counts_as_itself_and_both_frequencies_agree(rate in 1e4f64..1e5, mass in 100f64..600.0) {
        prop_assert!(near(wheel_rate(rate, 1.0, 0.0).unwrap(), rate));
        let (frequency, deflection) = ride_frequency(rate, mass).unwrap();
        prop_assert!(near(frequency_from_deflection(deflection).unwrap(), frequency));
    }

    #[test]
    fn four_times_the_load_floats_at_twice_the_speed(load in 50f64..2000.0, mass in 0.02f64..0.5, curvature in 1e-3f64..0.1) {
        prop_assert!(near(float_speed(4.0 * load, mass, curvature).unwrap(), 2.0 * float_speed(load, mass, curvature).unwrap()));
    }

    #[test]
    fn raising_a_whole_row_changes_nobodys_standing(heights in prop::collection::vec(0.03f64..0.04, 4..16), by in 0.0f64..0.01) {
        let raised: Vec<f64> = heights.iter().map(|x| x + by).collect();
        let (before, after) = (row_compared(&heights, 1e-5).unwrap(), row_compared(&raised, 1e-5).unwrap());
        prop_assert!((after.median - before.median - by).abs() < 1e-12);
        for (a, b) in before.scores.iter().zip(&after.scores) {
            prop_assert!((a - b).abs() < 1e-6);
        }
    }

    #[test]
    fn equal_pulleys_are_half_wrapped_and_as_far_as_their_centres(centres in 0.2f64..1.0, diameter in 0.02f64..0.19) {
        let drive = belt_drive(centres, diameter, diameter).unwrap();
        prop_assert!(near(drive.span, centres) && near(drive.small_wrap, PI) && near(drive.ratio, 1.0));
    }

    #[test]
    fn the_viscosity_line_passes_through_its_points(first in 20f64..300.0, share in 0.1f64..0.5) {
        let (at_40, at_100) = (first * 1e-6, first * share * 1e-6);
        let line = ViscosityLine::through(at_40, 313.15, at_100, 373.15).unwrap();
        prop_assert!((line.at(313.15) / at_40 - 1.0).abs() < 1e-9 && (line.at(373.15) / at_100 - 1.0).abs() < 1e-9);
        prop_assert!(line.at(263.15) > at_40);
    }

    #[test]
    fn a_blend_of_one_oil_is_that_oil_and_of_two_lies_between(a in 5f64..300.0, b in 5f64..300.0, share in 0.0f64..1.0) {
        let blend = blend_viscosity(&[share, 1.0 - share], &[a * 1e-6, b * 1e-6]).unwrap() * 1e6;
        prop_assert!(blend >= a.min(b) - 1e-9 && blend <= a.max(b) + 1e-9);
    }

    #[test]
    fn toe_there_and_back_is_itself(toe in -0.1f64..0.1, diameter in 0.3f64..0.8) {
        prop_assert!((toe_angle(toe_difference(toe, diameter).unwrap(), diameter).unwrap() - toe).abs() < 1e-12);
        prop_assert_eq!(thrust_angle(toe, toe).0, 0.0);
    }

    #[test]
    fn gear_and_speed_undo_each_other(engine in 50f64..900.0, gear in 0.5f64..4.0, axle in 2f64..5.0, round in 1.5f64..2.3) {
        let road = road_speed(engine, gear, axle, round).unwrap();
        prop_assert!(near(engine_speed(road, gear, axle, round).unwrap(), engine));
    }

    #[test]
    fn warming_alike_metals_opens_a_bearing_in_proportion(journal in 0.02f64..0.1, gap in 1e-5f64..1e-4, warming in 0.0f64..120.0) {
        let housing = journal + gap + 4e-3;
        let cold = bearing_clearance(housing - 4e-3, journal).unwrap().0;
        let warm = clearance_from_shells(housing, 2e-3, journal, warming, 12e-6, 12e-6).unwrap();
        prop_assert!((warm / cold - (1.0 + 12e-6 * warming)).abs() < 1e-9);
    }

    #[test]
    fn what_went_in_and_came_out_balances(content in 1e-3f64..1e-2, lost in 0.0f64..5e-4, stuck in 0.0f64..5e-4) {
        // Filled to the mark; some was lost; what came out and what stayed in make up the rest; filled to the mark
        // again.
        let account = reconciled(content, content - lost - stuck, content - stuck, 0.0, 0.0).unwrap();
        prop_assert!((account.lost - lost).abs() < 1e-12 && (account.left_in - stuck).abs() < 1e-12);
    }

    #[test]
    fn neat_for_all_of_it_gives_neat(content in 1e-3f64..1e-2, from in 0.0f64..0.9) {
        prop_assert!(near(exchange(content, from, 1.0).unwrap(), content));
        prop_assert_eq!(exchange(content, from, from).unwrap(), 0.0);
    }

    #[test]
    fn a_cylinder_at_supply_does_not_leak_and_one_at_nought_leaks_all(supply in 1e5f64..1e6) {
        prop_assert_eq!(leak_share(supply, supply).unwrap(), 0.0);
        prop_assert_eq!(leak_share(supply, 0.0).unwrap(), 1.0);
    }

    #[test]
    fn a_bigger_leak_pulls_the_cylinder_lower(supply in 4e5f64..9e5, high in 0.6f64..0.95) {
        let at = |share: f64| leak_area_ratio(supply, SEA_LEVEL + share * (supply - SEA_LEVEL), SEA_LEVEL).unwrap();
        prop_assert!(at(high) < at(high - 0.1));
    }

    #[test]
    fn a_battery_never_holds_less_than_nothing_or_more_than_all(volts in 5f64..15.0) {
        prop_assert!((0.0..=1.0).contains(&state_of_charge(volts)));
        prop_assert!(state_of_charge(volts) <= state_of_charge(volts + 0.05));
    }
}

#[test]
fn air_at_sea_level_is_the_standard_atmosphere() {
    assert_eq!(standard_pressure(0.0), SEA_LEVEL);
}

/// Both branches of the standard meet at an index of 100, where the oil is the reference oil H.
#[test]
fn the_viscosity_index_is_continuous_at_a_hundred() {
    for (at_100, h) in [(5.0, 28.49), (14.5, 142.4), (40.0, 651.8)] {
        assert!((viscosity_index(h * 1e-6, at_100 * 1e-6).unwrap() - 100.0f64).abs() < 0.5, "{at_100}");
        let (below, above) = (
            viscosity_index((h - 1e-6) * 1e-6, at_100 * 1e-6).unwrap(),
            viscosity_index((h + 1e-6) * 1e-6, at_100 * 1e-6).unwrap(),
        );
        assert!((below - above).abs() < 0.01, "{below} {above}");
    }
}
