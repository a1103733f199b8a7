import type { z } from 'zod';
import { Problem } from '#libs/problem';
import { type Unstorable, unstorable } from './storable-text.js';

const CANNOT_KEEP: Record<Unstorable['why'], string> = {
  text: 'holds a character that cannot be kept (a NUL, or half of a pair). Take it out and send the request again.',
  depth:
    'is nested deeper than anything that is asked for here. Send it as the API description has it.',
};

/**
 * @param part what is read: 'body', 'query', 'path'
 * @throws {Problem} `request-invalid` naming the first field that does not fit, and what fits
 */
export function parsed<T>(schema: z.ZodType<T>, value: unknown, part = 'body'): T {
  const refused = unstorable(value);
  if (refused !== undefined) {
    // of what is nested without end the whole path tells nothing
    const path = refused.why === 'depth' ? refused.path.slice(0, 1) : refused.path;
    const field = fieldOf(path) || part;
    throw new Problem('request-invalid', `${field}: ${CANNOT_KEEP[refused.why]}`, {
      field,
      fields: [field],
    });
  }
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  const issues = result.error.issues.flatMap((issue) => nearest(issue, []));
  const first = issues[0]!;
  throw new Problem(
    'request-invalid',
    `${first.field || part}: ${first.message}${issues.length > 1 ? ` (and ${issues.length - 1} more)` : ''}. Correct it and send the request again.`,
    { field: first.field || part, fields: issues.map((issue) => issue.field || part) },
    { cause: result.error },
  );
}

interface Named {
  field: string;
  message: string;
}

/** Of a choice between shapes, what is wrong with the one that fits best. */
function nearest(issue: z.core.$ZodIssue, above: readonly PropertyKey[]): Named[] {
  const path = [...above, ...issue.path];
  if (issue.code === 'invalid_union' && issue.errors.length > 0) {
    const branches = issue.errors.map((errors) => errors.flatMap((one) => nearest(one, path)));
    return branches.reduce((best, one) => (one.length < best.length ? one : best));
  }
  return [{ field: fieldOf(path), message: issue.message }];
}

function fieldOf(path: readonly PropertyKey[]): string {
  return path
    .map((step, i) =>
      typeof step === 'number' ? `[${step}]` : `${i === 0 ? '' : '.'}${String(step)}`,
    )
    .join('');
}
