/** The published form of a stored net: a JSON Schema of draft 2020-12, made from the zod schema. */
import { z } from 'zod';
import { netSchema } from './net-schema.js';

/** @returns a value ready for JSON.stringify; the same every time */
export function netJsonSchema(): Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(netSchema, { target: 'draft-2020-12' });
  return {
    $schema,
    $id: 'urn:mullion:net:1',
    title: 'Lead drawing of one panel, format mullion-net/1',
    description:
      'Planar graph of the leads and pieces of one stained-glass panel. Lengths in millimetres, areas in square ' +
      'millimetres, probabilities 0 to 1. Frame: as seen from inside, x right, y down, origin at the outer corner ' +
      'top left of the first signed drawing. Rings are closed by their first point, which is not repeated; ' +
      'positive ones (shoelace sum as stored) are outsides, negative ones holes.',
    ...rest,
  };
}
