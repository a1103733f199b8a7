/** Door of structure: bars under wind, growth with heat, bulges, weights. Aids to judgement, see STRUCTURAL_DEFERRAL. */
export { type BarEnds, type BarFigures, barUnderLoad, roundBarForLimitMm } from './bar-load.js';
export { type BarSection, sectionFigures } from './bar-section.js';
export * from './bulge/index.js';
export { growthMm } from './heat.js';
export {
  GLASS_GROWTH_PER_MK,
  LEAD_GROWTH_PER_MK,
  MATERIALS,
  type MaterialKey,
  materialOf,
} from './materials.js';
export { StructureError } from './structure-error.js';
export * from './weights/index.js';
export { barLoadNPerMm, windPressurePa } from './wind.js';
