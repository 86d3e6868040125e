/**
 * A certificate made by and for this computer, so that a phone on the same network may open the app
 * over HTTPS: browsers open a camera to secure pages only.
 */
import { createPrivateKey, X509Certificate } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { generate } from 'selfsigned';

export interface Certificate {
  readonly key: string;
  readonly cert: string;
  /** SHA-256 of the certificate, as browsers show it: "AB:CD:…". */
  readonly fingerprint: string;
}

const DAY_MS = 86_400_000;
/** Apple refuses server certificates that are valid for longer than 825 days (support.apple.com/103769). */
const VALID_DAYS = 365;
const RENEW_DAYS = 14;

/** True when a kept certificate still names all of these addresses, and does for a while. */
function stillServes(pem: string, addresses: readonly string[], now: Date): boolean {
  const kept = new X509Certificate(pem);
  return (
    Date.parse(kept.validTo) > now.getTime() + RENEW_DAYS * DAY_MS &&
    Date.parse(kept.validFrom) <= now.getTime() &&
    addresses.every((address) => kept.checkIP(address) !== undefined)
  );
}

function keptIn(folder: string, addresses: readonly string[], now: Date): Certificate | undefined {
  try {
    const key = readFileSync(join(folder, 'key.pem'), 'utf8');
    const cert = readFileSync(join(folder, 'certificate.pem'), 'utf8');
    const isOfKey = new X509Certificate(cert).checkPrivateKey(createPrivateKey(key));
    return isOfKey && stillServes(cert, addresses, now) ? named(key, cert) : undefined;
  } catch {
    // None yet, or a damaged one: another is made.
    return undefined;
  }
}

/**
 * The certificate for these IP addresses: the kept one while it serves, else a new one, kept in the
 * folder for the next start so that a phone need be told only once.
 */
export async function certificateFor(
  addresses: readonly string[],
  folder: string,
  now = new Date(),
): Promise<Certificate> {
  const kept = keptIn(folder, addresses, now);
  if (kept) return kept;
  const made = await generate([{ name: 'commonName', value: 'Lamp & Tile, this computer' }], {
    keyType: 'ec',
    algorithm: 'sha256',
    notBeforeDate: new Date(now.getTime() - DAY_MS),
    notAfterDate: new Date(now.getTime() + VALID_DAYS * DAY_MS),
    extensions: [
      { name: 'basicConstraints', cA: false, critical: true },
      { name: 'keyUsage', digitalSignature: true, critical: true },
      { name: 'extKeyUsage', serverAuth: true },
      {
        name: 'subjectAltName',
        altNames: [
          { type: 2, value: 'localhost' },
          ...addresses.map((ip) => ({ type: 7 as const, ip })),
        ],
      },
    ],
  });
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  writeFileSync(join(folder, 'key.pem'), made.private, { mode: 0o600 });
  writeFileSync(join(folder, 'certificate.pem'), made.cert);
  return named(made.private, made.cert);
}

function named(key: string, cert: string): Certificate {
  return { key, cert, fingerprint: new X509Certificate(cert).fingerprint256 };
}
