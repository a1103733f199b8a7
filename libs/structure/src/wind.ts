/** Wind on glazing, as a load on a bar. */
import { needPositive } from './structure-error.js';

/** Air, as EN 1991-1-4 recommends (from memory). */
export const AIR_KG_M3 = 1.25;

/** Pressure of wind that is stopped: `q = ρ v² / 2`, Pa. Source: EN 1991-1-4 (from memory). */
export function windPressurePa(speedMPerS: number, airKgM3 = AIR_KG_M3): number {
  needPositive(speedMPerS, 'windMPerS', 'bad-load');
  return (airKgM3 * speedMPerS ** 2) / 2;
}

/** Load on a bar that carries half of the glass above it and half of that below: `w = q s`. */
export function barLoadNPerMm(pressurePa: number, tributaryMm: number): number {
  needPositive(pressurePa, 'pressurePa', 'bad-load');
  needPositive(tributaryMm, 'tributaryMm', 'bad-size');
  return (pressurePa * tributaryMm) / 1e6;
}
