/**
 * Content security policies. The page's is strict, and stands in the page itself as well as in the
 * header, so that it holds wherever the built files are served. Only the responses of three workers
 * loosen it: the glue code of OpenCV and of LibRaw makes functions from strings.
 */
import type { Plugin } from 'vite';

const policy = (rules: Record<string, string>): string =>
  Object.entries(rules)
    .map(([what, from]) => `${what} ${from}`)
    .join('; ');

const PAGE = {
  'default-src': "'none'",
  'script-src': "'self'",
  'style-src': "'self'",
  'img-src': "'self' blob: data:",
  'media-src': "'self' blob: mediastream:",
  'font-src': "'self'",
  'connect-src': "'self'",
  'worker-src': "'self'",
  'manifest-src': "'self'",
  'base-uri': "'none'",
  'form-action': "'none'",
};
const WORKER = {
  'default-src': "'none'",
  'script-src': "'self'",
  'connect-src': "'self'",
  'worker-src': "'self'",
};

export const PAGE_POLICY = policy(PAGE);
/** A page cannot say of itself who may frame it: only the header can. */
const PAGE_HEADER = policy({ ...PAGE, 'frame-ancestors': "'none'" });
const WORKER_HEADER = policy(WORKER);
const GLUE_WORKER_HEADER = policy({
  ...WORKER,
  'script-src': "'self' 'unsafe-eval' 'wasm-unsafe-eval'",
});

/** The policy that the response for this path carries. */
export function policyFor(path: string): string {
  if (/\/(bench|reading|photo)\.worker-[^/]*\.js$/.test(path)) return GLUE_WORKER_HEADER;
  if (/\.worker-[^/]*\.js$/.test(path)) return WORKER_HEADER;
  return PAGE_HEADER;
}

/** Puts the page's policy into the built page, and each response's into what `vite preview` serves. */
export function policyPlugin(): Plugin {
  return {
    name: 'content-security-policy',
    transformIndexHtml(_html, { server }) {
      // The development server injects styles of its own.
      if (server) return [];
      const attrs = { 'http-equiv': 'Content-Security-Policy', content: PAGE_POLICY };
      return [{ tag: 'meta', attrs, injectTo: 'head-prepend' }];
    },
    configurePreviewServer(server) {
      server.middlewares.use((request, response, next) => {
        const { pathname } = new URL(request.url ?? '/', 'http://localhost');
        response.setHeader('Content-Security-Policy', policyFor(pathname));
        response.setHeader('X-Content-Type-Options', 'nosniff');
        response.setHeader('Referrer-Policy', 'no-referrer');
        next();
      });
    },
  };
}
