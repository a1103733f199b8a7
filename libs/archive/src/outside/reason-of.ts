/** Why something outside did not answer; what fetch wraps is told, not the wrapping. */
export function reasonOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  return error.cause instanceof Error ? error.cause.message : error.message;
}
