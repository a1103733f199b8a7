/** Stuffs that bars, lead and glass are made of, with what of them a sum needs. */

export interface Material {
  readonly key: MaterialKey;
  readonly label: string;
  /** Young's modulus used in sums, and the range that handbooks give. 1 GPa = 1000 N/mm². */
  readonly youngGPa: { readonly used: number; readonly low: number; readonly high: number };
  /** Growth with heat, 10⁻⁶ per kelvin. */
  readonly growthPerMK: number;
  readonly densityKgM3: number;
  readonly source: string;
}

export type MaterialKey = 'steel' | 'stainless' | 'wrought-iron' | 'bronze' | 'brass' | 'copper';

const MEMORY = 'from memory';

export const MATERIALS: readonly Material[] = [
  {
    key: 'wrought-iron',
    label: 'wrought iron',
    youngGPa: { used: 190, low: 185, high: 200 },
    growthPerMK: 11.3,
    densityKgM3: 7700,
    source: `growth: handbook tables of forged iron; the rest ${MEMORY}`,
  },
  {
    key: 'steel',
    label: 'steel',
    youngGPa: { used: 210, low: 210, high: 210 },
    growthPerMK: 12,
    densityKgM3: 7850,
    source: `EN 1993-1-1, ${MEMORY}`,
  },
  {
    key: 'stainless',
    label: 'stainless steel',
    youngGPa: { used: 200, low: 200, high: 200 },
    growthPerMK: 16,
    densityKgM3: 7900,
    source: `EN 1993-1-4 and EN 10088-1, ${MEMORY}`,
  },
  {
    key: 'bronze',
    label: 'bronze',
    youngGPa: { used: 105, low: 96, high: 120 },
    growthPerMK: 18,
    densityKgM3: 8800,
    source: `growth: handbook tables; the rest ${MEMORY}`,
  },
  {
    key: 'brass',
    label: 'brass',
    youngGPa: { used: 100, low: 97, high: 110 },
    growthPerMK: 18.9,
    densityKgM3: 8500,
    source: `growth: handbook tables; the rest ${MEMORY}`,
  },
  {
    key: 'copper',
    label: 'copper',
    youngGPa: { used: 120, low: 117, high: 130 },
    growthPerMK: 16.8,
    densityKgM3: 8960,
    source: `growth: handbook tables; the rest ${MEMORY}`,
  },
];

/** Growth of lead and of glass with heat, 10⁻⁶ per kelvin. Source: handbook tables (28.0-29.5; 9.0 for plate). */
export const LEAD_GROWTH_PER_MK = 29;
export const GLASS_GROWTH_PER_MK = 9;

export function materialOf(key: MaterialKey): Material {
  return MATERIALS.find((material) => material.key === key)!;
}
