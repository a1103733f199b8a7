/** What an operation of the archive takes and answers, by its operationId. */
import type { operations } from '#libs/api-client';

export type Answered<
  Name extends keyof operations,
  Status extends number = 200,
> = operations[Name] extends {
  responses: Record<Status, { content: { 'application/json': infer Body } }>;
}
  ? Body
  : never;

export type Asked<Name extends keyof operations> = operations[Name] extends {
  requestBody: { content: { 'application/json': infer Body } };
}
  ? Body
  : never;
