/** The HTTP server: guards, routes, event stream, documents, health and the page, in that order. */
import { createServer, type RequestListener, type Server } from 'node:http';
import { createServer as createTlsServer, type Server as TlsServer } from 'node:https';
import { EXIT, ProgramError } from '#core/program/program-error';
import { accessGuard } from '../auth/access-guard.ts';
import { figuresGuard, followSession } from '../auth/stream-access.ts';
import { openStream } from '../live/open-stream.ts';
import type { ListenAddress } from '../settings.ts';
import { limitConnections } from './connection-limit.ts';
import type { DashboardContext } from './context.ts';
import { entryGuard, hostGuard, originGuard } from './guards.ts';
import { addRoutes } from './handlers.ts';
import { problemHandler, unknownRoute } from './problem.ts';
import { GUARDED_ROUTES } from './route-table.ts';
import { addPage } from './web-page.ts';

export interface HttpServerOptions {
  readonly context: DashboardContext;
  readonly listen: ListenAddress;
  readonly hostNames: readonly string[];
  /** Directory of the built page. */
  readonly page: string;
  /** Null or left out: plain HTTP, for this machine alone. */
  readonly tls?: ServerTls | null;
}

export interface ServerTls {
  /** PEM; the certificate with those that lead to its authority. */
  readonly key: string;
  readonly certificate: string;
  /** Browsers are told to come back over TLS only. */
  readonly insists: boolean;
}

const BODY_LIMIT = '64kb';

export class HttpServer {
  private readonly options: HttpServerOptions;
  private server: Server | TlsServer | null = null;

  constructor(options: HttpServerOptions) {
    this.options = options;
  }

  /** Resolves with the port it listens on. */
  async start(): Promise<number> {
    const { listen, tls = null } = this.options;
    const server = serverOf(tls, await createApp(this.options));
    limitConnections(server, address => this.options.context.report('connectionRefused', { address }));
    this.server = server;
    await new Promise<void>((resolve, reject) => {
      server.once('error', (error: NodeJS.ErrnoException) => reject(listenError(error, listen)));
      server.listen(listen.port, listen.host, resolve);
    });
    const address = server.address();
    return typeof address === 'object' && address ? address.port : listen.port;
  }

  /** From the next connection on. */
  renew({ key, certificate }: ServerTls): void {
    if (this.server && 'setSecureContext' in this.server) {
      this.server.setSecureContext({ ...TLS, key, cert: certificate });
    }
  }

  async stop(): Promise<void> {
    const { server } = this;
    if (!server?.listening) return;
    const closed = new Promise<void>(resolve => server.close(() => resolve()));
    this.options.context.hub.stop();
    server.closeIdleConnections();
    const timer = setTimeout(() => server.closeAllConnections(), 1000);
    await closed;
    clearTimeout(timer);
  }
}

const TLS = { minVersion: 'TLSv1.2' } as const;

function serverOf(tls: ServerTls | null, app: RequestListener): Server | TlsServer {
  const limits = {
    headersTimeout: 10_000,
    requestTimeout: 30_000,
    // How often the two are looked at: the default, 30 s, would let a dribbling client stay four times as long.
    connectionsCheckingInterval: 2000,
    maxHeaderSize: 16_384,
  };
  if (tls === null) return createServer(limits, app);
  const { key, certificate: cert } = tls;
  return createTlsServer({ ...limits, ...TLS, key, cert, handshakeTimeout: 10_000 }, app);
}

function listenError(error: NodeJS.ErrnoException, { host, port }: ListenAddress): ProgramError {
  const reason =
    error.code === 'EADDRINUSE'
      ? `Port ${port} on ${host} is already in use: stop the program that holds it, or choose another port with --http ${host}:PORT.`
      : `Cannot listen on ${host}:${port} (${error.code}): choose another address with --http HOST:PORT.`;
  return new ProgramError(reason, EXIT.network);
}

async function createApp({ context, hostNames, page, tls }: HttpServerOptions) {
  const [{ default: express }, { default: helmet }] = await Promise.all([
    import('express'),
    import('helmet'),
  ]);
  const app = express();
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  app.use(
    helmet({
      contentSecurityPolicy: {
        useDefaults: false,
        directives: {
          'default-src': ["'self'"],
          'object-src': ["'none'"],
          'base-uri': ["'none'"],
          'frame-ancestors': ["'none'"],
          // Not one of those that default-src stands for.
          'form-action': ["'self'"],
        },
      },
      referrerPolicy: { policy: 'no-referrer' },
      // A browser told to insist where its owner had to accept the certificate by hand would never come back.
      strictTransportSecurity: tls?.insists ? { maxAge: 31_536_000, includeSubDomains: false } : false,
    }),
  );
  app.use(hostGuard(hostNames));
  app.use('/api', originGuard, entryGuard, (_request, response, next) => {
    response.set('cache-control', 'no-store');
    next();
  });
  // Before anything of the body is read.
  const guard = accessGuard(GUARDED_ROUTES, context.access.whoAsks);
  app.use('/api', guard);
  app.use('/api', express.json({ limit: BODY_LIMIT, inflate: false }));
  // And after it: a body may be sent slowly, and whoever sends it be shut out meanwhile.
  app.use('/api', (request, response, next) => {
    if (request.method === 'GET' || request.method === 'HEAD') next();
    else guard(request, response, next);
  });
  addRoutes(app, context);
  app.get('/api/v1/stream', followSession(context.access), openStream(context.hub));
  app.use('/api', unknownRoute);

  app.get('/openapi.json', async (_request, response) => {
    response.json((await import('./openapi.ts')).openApiDocument());
  });
  app.get('/asyncapi.json', async (_request, response) => {
    response.json((await import('./asyncapi.ts')).asyncApiDocument());
  });
  app.get('/livez', (_request, response) => {
    response.json({ alive: true });
  });
  app.get('/readyz', (_request, response) => {
    try {
      context.store.check();
    } catch {
      response.status(503).json({ ready: false, warnings: ['The store cannot be read.'] });
      return;
    }
    response.json({ ready: true, warnings: context.warnings() });
  });
  app.get('/metrics', figuresGuard(context.access), async (_request, response) => {
    const { text, contentType } = await context.metrics();
    response.type(contentType).send(text);
  });
  addPage(app, express.static, page);
  app.use(unknownRoute);
  app.use(problemHandler(context.report, context.newId, context.onStoreError));
  return app;
}
