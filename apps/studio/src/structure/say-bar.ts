/** What is said of a bar: a row of the table, from its bays, its section and the wind. */
import type { BarBay } from '#libs/elevation';
import {
  type BarEnds,
  type BarSection,
  barLoadNPerMm,
  barUnderLoad,
  growthMm,
  type MaterialKey,
  materialOf,
  windPressurePa,
} from '#libs/structure';

export interface BarQuestion {
  readonly section: BarSection;
  readonly material: MaterialKey;
  readonly ends: BarEnds;
  readonly windMPerS: number;
  readonly warmerK: number;
  /** a bar that bends more than its free length over this is looked at */
  readonly limit: number;
}

export interface BarRow {
  readonly mark: string;
  readonly spansMm: readonly number[];
  readonly tributaryMm: number;
  readonly loadNPerMm: number;
  /** of the span that bends most */
  readonly deflectionMm: number;
  readonly spanOverDeflection: number;
  readonly stressMPa: number;
  /** of the support that carries most */
  readonly reactionN: number;
  readonly growthMm: number;
  readonly isBeyond: boolean;
}

/** @throws StructureError when a figure of the question cannot be reckoned with */
export function barRows(bays: readonly BarBay[], question: BarQuestion): BarRow[] {
  const { section, material, ends, limit } = question;
  const pressurePa = windPressurePa(question.windMPerS);
  return bays
    .filter(({ spansMm }) => spansMm.length > 0)
    .map(({ mark, spansMm, tributaryMm }): BarRow => {
      const loadNPerMm = barLoadNPerMm(pressurePa, tributaryMm);
      const { spans, reactionsN } = barUnderLoad({ section, material, ends, spansMm, loadNPerMm });
      const worst = spans.reduce((a, b) => (b.spanOverDeflection < a.spanOverDeflection ? b : a));
      const lengthMm = spansMm.reduce((sum, mm) => sum + mm, 0);
      return {
        mark,
        spansMm,
        tributaryMm,
        loadNPerMm,
        deflectionMm: worst.deflectionMm,
        spanOverDeflection: worst.spanOverDeflection,
        stressMPa: Math.max(...spans.map((span) => span.stressMPa)),
        reactionN: Math.max(...reactionsN),
        growthMm: growthMm(materialOf(material).growthPerMK, lengthMm, question.warmerK),
        isBeyond: worst.spanOverDeflection < limit,
      };
    });
}
