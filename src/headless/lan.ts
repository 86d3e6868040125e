/** Serving the app to a phone on the same network, and what is said about it. */
import { networkInterfaces } from 'node:os';
import { renderUnicodeCompact } from 'uqr';
import { preview, type PreviewServer } from 'vite';
import { certificateFor } from './certificate.ts';

/** Beside the port of this computer's own app, whose jobs are kept under its own address. */
export const LAN_PORT = 4174;

export interface LanWishes {
  /** Where the certificate is kept. */
  readonly folder: string;
  /** Network addresses of this computer; as its interfaces say when left out. */
  readonly addresses?: readonly string[];
  /** What is listened on: every interface when left out. */
  readonly host?: string;
  readonly port?: number;
  readonly outDir?: string;
}

export interface LanServer {
  /** `https://…/`, one for each address of this computer. */
  readonly links: readonly string[];
  /** What the person reads. */
  readonly lines: readonly string[];
  close(): Promise<void>;
}

/** This computer's IPv4 addresses on its networks. */
export function networkAddresses(): readonly string[] {
  return Object.values(networkInterfaces()).flatMap((all = []) =>
    all.filter(({ family, internal }) => family === 'IPv4' && !internal).map((one) => one.address),
  );
}

export async function serveLan({
  folder,
  addresses = networkAddresses(),
  host = '0.0.0.0',
  port = LAN_PORT,
  outDir = 'dist',
}: LanWishes): Promise<LanServer> {
  if (addresses.length === 0) {
    throw new Error('This computer is on no network: join one, or leave --lan out.');
  }
  const { key, cert, fingerprint } = await certificateFor(addresses, folder);
  const server = await preview({
    logLevel: 'warn',
    build: { outDir },
    preview: { host, port, strictPort: port > 0, open: false, https: { key, cert } },
  });
  const links = addresses.map((address) => `https://${address}:${portOf(server)}/`);
  return { links, lines: linesFor(links, fingerprint), close: () => server.close() };
}

function portOf(server: PreviewServer): number {
  const address = server.httpServer.address();
  if (address === null || typeof address === 'string') throw new Error('the server has no port');
  return address.port;
}

function linesFor(links: readonly string[], fingerprint: string): readonly string[] {
  return [
    '',
    'For a phone on the same network:',
    ...links.flatMap((link) => ['', `  ${link}`, '', renderUnicodeCompact(link, { border: 2 })]),
    '',
    'The phone will warn that the connection is not private, or that the certificate is not trusted:',
    'this computer made the certificate by itself. It is safe to go on if the certificate shown has',
    'this SHA-256 fingerprint:',
    `  ${fingerprint}`,
    'Chrome, Edge: Advanced, then Proceed. Safari: Show Details, then visit this website.',
    'Firefox: Advanced, then Accept the Risk and Continue.',
    '',
    'Everyone on this network can open the app while this runs. Jobs stay on the device they were',
    'made on: hand them over as a file, under Record. Ctrl+C stops it.',
  ];
}
