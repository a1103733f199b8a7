export { type EstimatedWeight, estimatedWeight } from './estimated-weight.js';
export { type Lifting, liftingOf, PERSON_KG } from './lifting.js';
export {
  type DescribedLayer,
  meanThicknessOfMm,
  type PanelWeight,
  type PieceMaterials,
  type PieceWeight,
  panelWeight,
  type WeightFacts,
} from './panel-weight.js';
export {
  type GaugedPoint,
  type ThicknessMap,
  thicknessContours,
  thicknessMap,
} from './thickness-map.js';
