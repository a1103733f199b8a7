/** What a text says as JSON; null when it says nothing that can be read. */
export function readJson(text: string | null | undefined): unknown {
  try {
    return JSON.parse(text ?? 'null');
  } catch {
    return null;
  }
}
