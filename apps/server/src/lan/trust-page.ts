/** The one page that is served in the clear: how a phone comes to trust this workshop's certificate. */
import { derOf, fingerprintOfCertificate } from '#libs/tls';

const CERTIFICATE_PATH = '/mullion-of-this-workshop.crt';

export interface TrustAnswer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string | Uint8Array;
}

const always = {
  'Cache-Control': 'no-store',
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
};

/** @param path what is asked for; null: nothing that is answered here */
export function trustAnswer(path: string | null, authorityPem: string): TrustAnswer {
  if (path === CERTIFICATE_PATH) {
    return {
      status: 200,
      headers: {
        ...always,
        'Content-Type': 'application/x-x509-ca-cert',
        'Content-Disposition': 'attachment; filename="mullion-of-this-workshop.crt"',
      },
      body: derOf('CERTIFICATE', authorityPem),
    };
  }
  if (path !== '/') return { status: 404, headers: always, body: '' };
  return {
    status: 200,
    headers: {
      ...always,
      'Content-Type': 'text/html; charset=utf-8',
      'Content-Security-Policy': "default-src 'none'; style-src 'unsafe-inline'",
    },
    body: page(fingerprintOfCertificate(authorityPem)),
  };
}

// Where phones keep these settings: common practice, no source; names differ between versions.
const page = (fingerprint: string): string => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Trust this workshop’s archive</title>
<style>
  body { margin: 0 auto; max-width: 34em; padding: 22px 18px 60px; background: #f3efe6; color: #1d1b18; font: 17px/1.5 system-ui, sans-serif }
  h1 { font: 600 27px/1.2 Georgia, serif }
  h2 { font-size: 19px; margin: 28px 0 6px }
  li { margin: 8px 0 }
  .act { display: block; padding: 18px; text-align: center; background: #e2a42b; color: #1b1405; font-weight: 600; border-radius: 3px; text-decoration: none }
  .print { font: 18px/1.6 ui-monospace, monospace; background: #fffdf8; border: 1px solid #8c8474; padding: 10px 12px; overflow-wrap: anywhere }
  .caution { border: 1px solid #b98a2b; border-left-width: 6px; background: #fbf3dd; padding: 10px 14px }
</style>
</head>
<body>
<h1>Once for each phone: trust this workshop’s archive</h1>
<p>The archive made a certificate of its own. It can vouch for this workshop’s archive and for nothing else on the internet.</p>
<h2>1. Compare</h2>
<p>The screen on the desk shows the same letters and digits:</p>
<p class="print">${fingerprint}</p>
<p class="caution">If a single one differs, stop: somebody may stand between. This page came in the clear, and the phone shows the same figures again before it trusts (“SHA-256”, “fingerprint”): compare those with the desk.</p>
<h2>2. Fetch the certificate</h2>
<p><a class="act" href="${CERTIFICATE_PATH}">Fetch the certificate</a></p>
<h2>3. On an iPhone or iPad</h2>
<ol>
<li>Allow the profile to be downloaded.</li>
<li>Settings, at the top “Profile Downloaded”, Install. “More Details” shows the fingerprint.</li>
<li>Settings, General, About, Certificate Trust Settings: switch this workshop’s certificate on.</li>
</ol>
<h2>3. On an Android phone</h2>
<ol>
<li>Settings; search for “CA certificate”; install it from the file just fetched. The phone warns of what any such certificate could do; this one is limited to this workshop.</li>
<li>Under “User credentials” or “Trusted credentials, User” it shows the fingerprint.</li>
</ol>
<h2>4. Then</h2>
<p>Go back to the desk and point the phone’s camera at the second code there: it signs the phone in.</p>
<p>To take the trust back, remove the certificate in the same place.</p>
</body>
</html>
`;
