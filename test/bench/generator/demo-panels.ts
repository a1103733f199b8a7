/** The panels of the demo's populated window, Sallowmere Chapel sII. */
import type { CaseRecipe } from './recipe.js';

/** Two lights of three rows, one tracery opening: sizes over the outer leads, mm. */
export const DEMO_PANELS: readonly (CaseRecipe & { mark: string })[] = [
  { mark: '1a', number: 201, style: 'bands', quality: 'phone', sizeMm: [360, 470] },
  { mark: '1b', number: 202, style: 'quarries', quality: 'phone', sizeMm: [360, 470] },
  { mark: '2a', number: 203, style: 'figure', quality: 'phone', sizeMm: [360, 450] },
  { mark: '2b', number: 204, style: 'figure', quality: 'phone', sizeMm: [360, 450] },
  { mark: '3a', number: 205, style: 'lancet', quality: 'phone', sizeMm: [360, 520] },
  { mark: '3b', number: 206, style: 'lancet', quality: 'phone', sizeMm: [360, 520] },
  { mark: 'A1', number: 207, style: 'round', quality: 'phone', sizeMm: [380, 380] },
];
