/** What stands under a name in the singular, asked by it or by its plural: crack, cracks; loss, losses. */
export function byNameOrPlural<T>(named: ReadonlyMap<string, T>, name: string): T | undefined {
  return (
    named.get(name) ??
    named.get(name.replace(/(?<=\w)(?:es|s)$/, '')) ??
    named.get(name.replace(/(?<=\w)s$/, ''))
  );
}
