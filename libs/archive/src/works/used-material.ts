/** What was used for a piece of work, as its entry keeps it: whole, whatever the register says later. */
import { z } from 'zod';
import { Problem } from '#libs/problem';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { idSchema, shortText } from '../shapes.js';
import type { Tx } from '../tx.js';

/** Stock and quantities are decimal texts, never floating numbers. */
export const quantitySchema = z
  .string()
  .regex(/^\d{1,9}(\.\d{1,6})?$/, 'a decimal number such as 12 or 0.25')
  .describe('decimal text, e.g. 0.25');

export const materialBody = z.strictObject({
  materialId: idSchema
    .optional()
    .describe('a batch of the register; its words are taken from there'),
  name: shortText.optional().describe('generic name, e.g. epoxy resin, two parts'),
  maker: shortText.optional().describe('maker and product, as on the tin'),
  batch: shortText.optional(),
  expires: happenedSchema.optional().describe('good until, EDTF'),
  quantity: quantitySchema
    .optional()
    .describe('in the unit of the register where it is from there'),
  unit: shortText.optional(),
  concentration: shortText.optional().describe('as mixed, e.g. 10 % in acetone'),
});

export const usedMaterialSchema = z.object({
  materialId: idSchema.nullable(),
  name: z.string(),
  maker: z.string().nullable(),
  batch: z.string().nullable(),
  expires: z.string().nullable(),
  quantity: z.string().nullable(),
  unit: z.string().nullable(),
  concentration: z.string().nullable(),
});
export type UsedMaterial = z.infer<typeof usedMaterialSchema>;

/**
 * The materials with the register's words where they are from there.
 *
 * @throws {Problem} `material-unknown`, `request-invalid`, `date-invalid`
 */
export async function usedMaterials(
  tx: Tx,
  said: readonly z.infer<typeof materialBody>[],
): Promise<UsedMaterial[]> {
  const used: UsedMaterial[] = [];
  for (const [i, one] of said.entries()) {
    used.push(one.materialId === undefined ? named(one, i) : await registered(tx, one, i));
  }
  return used;
}

/** For lists and records: generic name and maker's text. */
export function materialText(materials: readonly UsedMaterial[]): string | null {
  if (materials.length === 0) return null;
  return materials
    .map(({ name, maker }) => (maker === null ? name : `${name} (${maker})`))
    .join('; ');
}

function named(said: z.infer<typeof materialBody>, i: number): UsedMaterial {
  const { name } = said;
  if (name === undefined) {
    throw new Problem(
      'request-invalid',
      `materials[${i}]: say its generic name, or name a batch of the register by materialId.`,
      { field: `materials[${i}].name` },
    );
  }
  return {
    materialId: null,
    name,
    maker: said.maker ?? null,
    batch: said.batch ?? null,
    expires: checkedEdtf(said.expires, `materials[${i}].expires`),
    quantity: said.quantity ?? null,
    unit: said.unit ?? null,
    concentration: said.concentration ?? null,
  };
}

async function registered(
  tx: Tx,
  said: z.infer<typeof materialBody>,
  i: number,
): Promise<UsedMaterial> {
  const batch = await tx.first<Omit<UsedMaterial, 'quantity' | 'concentration'>>(
    'SELECT material_id, name, maker, batch, expires, unit FROM material WHERE material_id = $1',
    [said.materialId],
    ['material'],
  );
  if (batch === undefined) {
    throw new Problem(
      'material-unknown',
      `materials[${i}]: the register has no such batch. Read the register again, or write the material's name.`,
      { field: `materials[${i}].materialId` },
    );
  }
  return { ...batch, quantity: said.quantity ?? null, concentration: said.concentration ?? null };
}
