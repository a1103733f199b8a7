/**
 * The generated rubbings that accuracy is judged on. No number stands in two lists, nor among the demo's
 * panels, whose rubbings the wax map was tuned on.
 */
import type { ControlKind } from './control-marks.js';
import { type CaseRecipe, caseName } from './recipe.js';

export { caseName };

type Row = readonly [
  number: number,
  style: CaseRecipe['style'],
  quality: CaseRecipe['quality'],
  control?: ControlKind,
  more?: Omit<CaseRecipe, 'number' | 'style' | 'quality' | 'control'>,
];
const recipes = (rows: readonly Row[]): CaseRecipe[] =>
  rows.map(([number, style, quality, control, more]) => ({
    number,
    style,
    quality,
    ...(control ? { control } : {}),
    ...more,
  }));

/** For adjusting the extraction. */
export const TUNING_CASES = recipes([
  [1, 'quarries', 'clean'],
  [2, 'figure', 'clean'],
  [3, 'bands', 'clean'],
  [4, 'lancet', 'clean', 'control_points'],
  [5, 'round', 'clean'],
  [6, 'quarries', 'phone'],
  [7, 'figure', 'phone'],
  [8, 'bands', 'phone'],
  [9, 'lancet', 'phone'],
  [10, 'round', 'phone'],
  [11, 'quarries', 'poor'],
  [12, 'figure', 'poor'],
  [13, 'bands', 'poor'],
  [14, 'lancet', 'poor'],
  [15, 'round', 'poor'],
  [16, 'figure', 'phone', 'sides_diagonals'],
  [17, 'quarries', 'clean', 'scale_bar'],
  [18, 'figure', 'phone'],
  [19, 'quarries', 'phone', 'control_points'],
  [20, 'figure', 'poor', 'control_points'],
  [21, 'bands', 'phone', 'diagonals'],
  // Half of these were measured with an error, as a tape gives it.
  [31, 'figure', 'phone', 'distances', { noiseMm: 0.4 }],
  [32, 'quarries', 'phone', 'control_points', { outside: true }],
  [33, 'figure', 'clean', 'scanner'],
  [34, 'bands', 'phone', 'control_points', { noiseMm: 0.3, bulge: { riseMm: 25, along: 'y' } }],
  [35, 'lancet', 'phone', 'control_points', { pictures: 'two-photographs' }],
  [36, 'figure', 'phone', 'distances', { noiseMm: 0.3, pictures: 'two-sheets' }],
  [37, 'quarries', 'phone', 'distances', { noiseMm: 0.5, medium: 'white-wax' }],
  [38, 'bands', 'clean', 'scanner', { medium: 'pen-edges' }],
  [39, 'figure', 'phone', 'distances', { noiseMm: 0.3, medium: 'pen-middles' }],
  [40, 'round', 'phone', 'control_points', { foil: true }],
  [41, 'figure', 'phone', 'distances', { noiseMm: 0.35, openEnds: 3, straps: 2 }],
  [42, 'figure', 'phone', 'control_points'],
  [43, 'figure', 'phone', 'control_points', { plate: true }],
  [44, 'quarries', 'clean', 'scanner', { pictures: 'two-scans' }],
  [45, 'bands', 'poor', 'distances', { noiseMm: 0.4 }],
]);

/** For judging it: nobody looks at these while adjusting. */
export const HELD_OUT_CASES = recipes([
  [101, 'quarries', 'clean', 'control_points'],
  [102, 'figure', 'clean', 'control_points'],
  [103, 'bands', 'clean', 'scale_bar'],
  [104, 'lancet', 'clean', 'control_points'],
  [105, 'round', 'clean', 'control_points'],
  [106, 'quarries', 'phone', 'control_points'],
  [107, 'figure', 'phone', 'control_points'],
  [108, 'bands', 'phone', 'control_points'],
  [109, 'lancet', 'phone', 'control_points'],
  [110, 'round', 'phone', 'control_points'],
  [111, 'quarries', 'poor', 'control_points'],
  [112, 'figure', 'poor', 'control_points'],
  [113, 'bands', 'poor', 'control_points'],
  [114, 'lancet', 'poor', 'control_points'],
  [115, 'round', 'poor', 'control_points'],
  [116, 'figure', 'phone', 'sides_diagonals'],
  [117, 'quarries', 'clean', 'sides_diagonals'],
  [118, 'figure', 'phone', 'control_points'],
  [119, 'quarries', 'phone', 'control_points'],
  [120, 'figure', 'poor', 'control_points'],
  [121, 'bands', 'phone', 'diagonals'],
  // Half of these were measured with an error, as a tape gives it. 201 to 207 are the demo's.
  [301, 'figure', 'clean', 'scanner'],
  [302, 'quarries', 'clean', 'distances', { noiseMm: 0.3 }],
  [303, 'figure', 'clean', 'scanner', { pictures: 'two-scans' }],
  [304, 'lancet', 'phone', 'distances', { noiseMm: 0.4 }],
  [305, 'round', 'phone', 'distances', { noiseMm: 0.5 }],
  [306, 'quarries', 'phone', 'control_points', { noiseMm: 0.3 }],
  [307, 'figure', 'phone', 'sides_diagonals', { noiseMm: 0.4 }],
  [308, 'figure', 'phone', 'control_points', { outside: true }],
  [309, 'bands', 'phone', 'distances', { noiseMm: 0.3, outside: true }],
  [310, 'figure', 'phone', 'control_points'],
  [311, 'figure', 'phone', 'control_points', { plate: true }],
  [312, 'quarries', 'phone', 'distances', { noiseMm: 0.4, bulge: { riseMm: 30, along: 'y' } }],
  [313, 'figure', 'phone', 'control_points', { pictures: 'two-photographs' }],
  [314, 'quarries', 'phone', 'distances', { noiseMm: 0.3, pictures: 'two-photographs' }],
  [315, 'bands', 'phone', 'control_points', { pictures: 'two-sheets' }],
  [316, 'figure', 'phone', 'distances', { noiseMm: 0.4, medium: 'white-wax' }],
  [317, 'lancet', 'phone', 'control_points', { medium: 'white-wax' }],
  [318, 'figure', 'phone', 'control_points', { medium: 'pen-middles' }],
  [319, 'quarries', 'phone', 'distances', { noiseMm: 0.3, medium: 'pen-edges' }],
  [320, 'round', 'clean', 'scanner', { foil: true }],
  [321, 'figure', 'phone', 'distances', { noiseMm: 0.3, foil: true }],
  [322, 'figure', 'phone', 'control_points', { openEnds: 3, straps: 2 }],
  [323, 'quarries', 'phone', 'distances', { noiseMm: 0.4, openEnds: 2, straps: 1 }],
  [324, 'figure', 'poor', 'distances', { noiseMm: 0.3 }],
  [325, 'bands', 'poor', 'control_points', { noiseMm: 0.4 }],
  [326, 'lancet', 'poor', 'distances', { noiseMm: 0.5 }],
]);
