/** The same members but those named. */
export function without<T extends object, K extends keyof T>(
  whole: T,
  ...names: readonly K[]
): Omit<T, K> {
  const rest = { ...whole };
  for (const name of names) Reflect.deleteProperty(rest, name);
  return rest;
}
