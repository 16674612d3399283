import { createReadStream, existsSync, statSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import { dirname, extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { UsageError } from './input';

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
};

/** Folder of the built app, beside the command line's own. */
export const appFolder = join(dirname(fileURLToPath(import.meta.url)), '..', '..', 'app', 'dist');

/** The file of the app that a request's path names, or undefined when it leads outside or nowhere. */
export function fileFor(folder: string, path: string): string | undefined {
  let decoded: string;
  try {
    decoded = decodeURIComponent(path.split('?')[0] ?? '/');
  } catch {
    return undefined;
  }
  if (decoded.includes('\0')) return undefined;
  const file = normalize(join(folder, decoded.endsWith('/') ? `${decoded}index.html` : decoded));
  if (!file.startsWith(normalize(folder) + sep)) return undefined;
  return existsSync(file) && statSync(file).isFile() ? file : undefined;
}

function appServer(folder: string): Server {
  return createServer((request, response) => {
    if (request.method !== 'GET' && request.method !== 'HEAD') {
      response.writeHead(405).end();
      return;
    }
    const file = fileFor(folder, request.url ?? '/');
    if (file === undefined) {
      response.writeHead(404, { 'content-type': 'text/plain; charset=utf-8' }).end('Not found\n');
      return;
    }
    // Hashed names never change; everything else (the page, the service worker) is asked for anew.
    const cache = file.includes(`${sep}assets${sep}`) ? 'max-age=31536000, immutable' : 'no-cache';
    response.writeHead(200, {
      'content-type': types[extname(file)] ?? 'application/octet-stream',
      'cache-control': cache,
      'x-content-type-options': 'nosniff',
    });
    if (request.method === 'HEAD') response.end();
    else createReadStream(file).pipe(response);
  });
}

const tries = 50;

/**
 * Serves the built app on this machine only (127.0.0.1), at `port` or the next free one above it.
 * Resolves with the port; rejects when none of 50 is free or the app is not built.
 */
export async function serve(port: number, folder = appFolder): Promise<number> {
  if (!existsSync(join(folder, 'index.html'))) {
    throw new UsageError(
      'The app is not built yet. Run "npm start" (or "npm run build:app") first.',
    );
  }
  for (let candidate = port; candidate < port + tries && candidate < 65536; candidate++) {
    if (await listens(appServer(folder), candidate)) return candidate;
  }
  throw new UsageError(
    `No free port from ${port} to ${port + tries - 1}. Name another with --port.`,
  );
}

const listens = (server: Server, port: number): Promise<boolean> =>
  new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE' || error.code === 'EACCES') resolve(false);
      else reject(error);
    });
    server.listen(port, '127.0.0.1', () => resolve(true));
  });
