/** The generated rubbings that accuracy is judged on. The two lists never share a number. */
import type { CaseRecipe } from './write-case.js';

type Row = readonly [number, CaseRecipe['style'], CaseRecipe['quality'], CaseRecipe['control']?];
const recipes = (rows: readonly Row[]): CaseRecipe[] =>
  rows.map(([number, style, quality, control]) => ({
    number,
    style,
    quality,
    ...(control ? { control } : {}),
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
]);

/** Folder name of a case. */
export const caseName = (recipe: CaseRecipe): string =>
  `${recipe.number}-${recipe.style}-${recipe.quality}`;
