/**
 * Manifests: a digest and a path in each line.
 *
 * Source: RFC 8493 sections 2.1.3 and 2.2.1: one or more spaces between, CR, LF and % in paths written
 * %0D, %0A and %25; no path twice.
 */

export interface ManifestLine {
  digestHex: string;
  path: string;
}

export function manifestText(lines: readonly ManifestLine[]): string {
  return lines.map(({ digestHex, path }) => `${digestHex}  ${encodePath(path)}\n`).join('');
}

/** @returns lines by path, and what is wrong in words; `digits` is the digest's length in hexadecimal */
export function parseManifest(
  text: string,
  digits: number,
): { digests: Map<string, string>; problems: string[] } {
  const digests = new Map<string, string>();
  const problems: string[] = [];
  const lines = text.split('\n');
  if (lines.pop() !== '') problems.push('the last line is cut off');
  for (const [at, line] of lines.entries()) {
    const found = /^([0-9a-f]+)[ \t]+(.+)$/.exec(line);
    if (found?.[1]?.length !== digits) {
      problems.push(`line ${at + 1} is no digest and path`);
      continue;
    }
    const path = decodePath(found[2]!);
    if (digests.has(path)) problems.push(`${path} is listed twice`);
    digests.set(path, found[1]);
  }
  return { digests, problems };
}

function encodePath(path: string): string {
  return path.replaceAll('%', '%25').replaceAll('\r', '%0D').replaceAll('\n', '%0A');
}

function decodePath(text: string): string {
  return text.replace(/%(0D|0A|25)/gi, (_, code: string) =>
    String.fromCharCode(parseInt(code, 16)),
  );
}
