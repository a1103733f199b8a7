/** Shapes that several bodies and answers share. */
import { z } from 'zod';
import { ROLES } from './role.js';

/** In lower case, as the database answers it. */
export const idSchema = z.uuid().toLowerCase();
export const roleSchema = z.enum(ROLES);
export const faceSchema = z.enum(['inside', 'outside']).describe('face of the glass');
export const layerSchema = z.enum(['front', 'back']).describe('layer of plated work');
export const surfaceSchema = z
  .enum(['developed', 'plan'])
  .describe('developed: as a rubbing follows a bulge; plan: as measured flat');
export const shortText = z.string().trim().min(1).max(200);
export const noteText = z.string().trim().min(1).max(8000);
export const markText = z.string().min(1).max(64).describe('mark, e.g. SLM.wI.2b.17');
export const xyMmSchema = z
  .tuple([z.number(), z.number()])
  .describe('x right, y down, mm in the panel’s frame, seen from inside');
export const xyPxSchema = z
  .tuple([z.number(), z.number()])
  .describe('x right, y down, px in the upright picture');

export const entryRefSchema = z.object({
  logId: z.string(),
  seq: z.int().describe('place in the log, from 0'),
});
export const versionSchema = z.int().describe('send it back as If-Match to revise');

/** What every write answers beside the thing itself. */
export const writtenShape = { version: versionSchema, entry: entryRefSchema };
export const writtenSchema = z.object(writtenShape);

/** As JSON: dates are RFC 3339 text. */
export const dateTime = z.iso.datetime();
