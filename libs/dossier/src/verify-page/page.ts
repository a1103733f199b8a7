/** `data/verify.html`: the check of the whole package in a browser, with no server and no network. */

import { htmlPage } from '../html.js';

const STYLE = `
  .drop { border: 2px dashed #8a8474; padding: 1.5rem; margin: 1rem 0; }
  .drop.over { background: #efece2; }
  label { display: block; margin: 0.75rem 0 0.25rem; }
  input[type="text"] { width: 100%; box-sizing: border-box; font: inherit; padding: 0.4rem; }
  #verdict { font-size: 1.2rem; font-weight: 600; border-left: 0.4rem solid #8a8474; padding-left: 1rem; }
  #verdict[data-verdict="verified-against-fingerprint"] { border-color: #1b6e53; }
  #verdict[data-verdict="altered"], #verdict[data-verdict="unreadable"] { border-color: #a02c1c; border-left-style: double; }
`;

/** @param script the bundled program; @param scriptDigest base64 SHA-256 of exactly that text */
export function verifyPage(script: string, scriptDigest: string): string {
  return htmlPage({
    title: 'Has this dossier been altered?',
    style: STYLE,
    script: { text: script, source: `'sha256-${scriptDigest}'` },
    body: `<h1>Has this dossier been altered?</h1>
<p>Nothing leaves this browser. Choose the dossier's zip file, or the folder it was unpacked to.</p>
<form id="form">
<label for="fingerprint">Fingerprint, from the owner's letter, an older printed record or the studio. Not from this dossier. (May be left empty.)</label>
<input id="fingerprint" type="text" autocomplete="off" spellcheck="false" aria-describedby="fingerprint-problem">
<p id="fingerprint-problem" role="alert"></p>
<div id="drop" class="drop">
<label for="zip">Zip file (or drop it here)</label>
<input id="zip" type="file" accept=".zip,application/zip">
<label for="folder">Unpacked folder</label>
<input id="folder" type="file" webkitdirectory>
</div>
</form>
<p id="progress" role="status"></p>
<p id="verdict" role="status" hidden></p>
<ul id="findings"></ul>
<div id="detail"></div>
<p>This page came with the dossier, so a forger could have changed it too. To be sure, use a copy of it from a dossier that you trust,
or the command <code>mullion verify</code>.</p>`,
  });
}
