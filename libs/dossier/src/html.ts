/** Text into HTML, and the look shared by the two pages of a dossier: paper, quiet, printable. */

export function escapeHtml(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
}

export const PAGE_STYLE = `
  :root { color-scheme: light; }
  body { margin: 3rem auto; max-width: 46rem; padding: 0 1rem; background: #fbfaf6; color: #22201c;
    font: 1rem/1.5 Georgia, "Times New Roman", serif; }
  h1, h2 { font-weight: 600; line-height: 1.2; }
  h2 { margin-top: 2.5rem; font-size: 1.15rem; }
  table { border-collapse: collapse; width: 100%; font-size: 0.9rem; font-variant-numeric: tabular-nums; }
  th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.75rem 0.25rem 0; border-bottom: 1px solid #d8d4c8; }
  td.n, th.n { text-align: right; white-space: nowrap; }
  code, .key { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: 0.9em; overflow-wrap: anywhere; }
  .key { font-size: 1.05rem; letter-spacing: 0.03em; }
  a { color: #274b6d; }
  :focus-visible { outline: 3px solid #274b6d; outline-offset: 2px; }
`;

export interface Page {
  title: string;
  body: string;
  /** more rules, after the shared ones */
  style?: string;
  /** content of a script element, and its CSP source (`'sha256-…'`) */
  script?: { source: string; text: string };
}

/** A page that asks nothing of any network: the policy forbids all but what is inside. */
export function htmlPage({ title, body, style = '', script }: Page): string {
  const policy = [
    "default-src 'none'",
    "style-src 'unsafe-inline'",
    "img-src 'self' data:",
    ...(script === undefined ? [] : [`script-src ${script.source}`]),
  ].join('; ');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${escapeHtml(policy)}">
<title>${escapeHtml(title)}</title>
<style>${PAGE_STYLE}${style}</style>
</head>
<body>
${body}${script === undefined ? '' : `\n<script>${script.text}</script>`}
</body>
</html>
`;
}
