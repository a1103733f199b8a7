import type { z } from 'zod';
import { Problem } from '#libs/problem';

/**
 * @param part what is read: 'body', 'query', 'path'
 * @throws {Problem} `request-invalid` naming the first field that does not fit, and what fits
 */
export function parsed<T>(schema: z.ZodType<T>, value: unknown, part = 'body'): T {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  const issues = result.error.issues;
  const first = issues[0]!;
  const field = fieldOf(first.path) || part;
  throw new Problem(
    'request-invalid',
    `${field}: ${first.message}${issues.length > 1 ? ` (and ${issues.length - 1} more)` : ''}. Correct it and send the request again.`,
    { field, fields: issues.map((issue) => fieldOf(issue.path) || part) },
    { cause: result.error },
  );
}

function fieldOf(path: readonly PropertyKey[]): string {
  return path
    .map((step, i) =>
      typeof step === 'number' ? `[${step}]` : `${i === 0 ? '' : '.'}${String(step)}`,
    )
    .join('');
}
