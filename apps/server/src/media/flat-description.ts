import { z } from 'zod';
import { lightSchema, mediaDescription, parsed } from '#libs/archive';
import { Problem } from '#libs/problem';

/**
 * What is said about a file beside its bytes, as flat text: the query of a plain upload, or the
 * Upload-Metadata of a resumable one. Empty values count as not given.
 */
export const flatDescription = z.strictObject({
  fileName: z.string().trim().min(1).max(255),
  fileType: z.string().max(200).optional().describe('type that the sender believes it to be'),
  kind: mediaDescription.shape.kind,
  light: z.enum(['transmitted', 'reflected', 'raking', 'uv', 'ir', 'mixed']).optional(),
  clockHour: z.coerce.number().optional().describe('raking light: where the lamp stood, 12 above'),
  elevationDeg: z.coerce.number().optional().describe('raking light: above the plane of the glass'),
  stage: mediaDescription.shape.stage,
  face: mediaDescription.shape.face,
  layer: mediaDescription.shape.layer,
  subjects: z.string().max(4000).optional().describe('marks, separated by commas'),
  author: mediaDescription.shape.author,
  happened: mediaDescription.shape.happened,
  note: mediaDescription.shape.note,
  asReceived: z
    .enum(['true', 'false'])
    .optional()
    .describe('true where a browser may have encoded the picture anew'),
});

export interface SaidOfFile {
  fileName: string;
  declaredType: string | undefined;
  asReceived: boolean;
  description: z.infer<typeof mediaDescription>;
}

/**
 * @param part what is read, for the message: 'query' or 'Upload-Metadata'
 * @throws {Problem} naming the field that does not fit
 */
export function readFlatDescription(
  flat: Readonly<Record<string, string | undefined>>,
  part: string,
): SaidOfFile {
  const given = Object.fromEntries(
    Object.entries(flat).filter(([, value]) => value !== undefined && value !== ''),
  );
  const { fileName, fileType, light, clockHour, elevationDeg, subjects, asReceived, ...rest } =
    parsed(flatDescription, given, part);
  return {
    fileName,
    declaredType: fileType,
    asReceived: asReceived === 'true',
    description: parsed(
      mediaDescription,
      {
        ...rest,
        ...lightOf(light, clockHour, elevationDeg),
        subjects: (subjects ?? '')
          .split(',')
          .map((mark) => mark.trim())
          .filter((mark) => mark !== ''),
      },
      part,
    ),
  };
}

function lightOf(
  kind: string | undefined,
  clockHour: number | undefined,
  elevationDeg: number | undefined,
): { light?: z.infer<typeof lightSchema> } {
  if (kind !== 'raking' && (clockHour !== undefined || elevationDeg !== undefined)) {
    const field = clockHour === undefined ? 'elevationDeg' : 'clockHour';
    throw new Problem(
      'request-invalid',
      `${field}: only raking light has a direction. Leave it out, or say light=raking.`,
      { field },
    );
  }
  if (kind === undefined) return {};
  if (kind === 'raking' && clockHour === undefined) {
    throw new Problem(
      'request-invalid',
      'clockHour: raking light needs where the lamp stood (12 above, 3 from the right). Add it.',
      { field: 'clockHour' },
    );
  }
  const direction = kind === 'raking' ? { clockHour, elevationDeg } : {};
  return { light: parsed(lightSchema, { kind, ...direction }, 'light') };
}
