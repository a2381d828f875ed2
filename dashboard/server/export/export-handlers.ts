/** What the routes of export-routes.ts do. */
import type { Express } from 'express';
import { type CsvStyle, csvLines } from '#core/csv/csv-writer';
import { localDay } from '#core/csv/local-time';
import type { Origin } from '#core/messages/common';
import type { DashboardContext } from '../api/context.ts';
import { originShown } from '../api/joint-ring.ts';
import { ApiProblem } from '../api/problem.ts';
import { serve } from '../api/route.ts';
import { WindowCache } from '../review/window-cache.ts';
import { SamplesAwayError } from '../store/borrow-samples.ts';
import type { ExportRequest } from './export-archive.ts';
import { type ExportContext, type PaperManner, sealedJoint } from './export-context.ts';
import { EXPORT_ROUTES as ROUTES } from './export-routes.ts';
import { safeName } from './file-name.ts';
import { JointParts } from './joint-parts.ts';
import { type Day, jointsOfDay, MIXED, originOfAll } from './joints-of-day.ts';
import { OneAtATime } from './one-at-a-time.ts';
import { passExport } from './pass-export.ts';
import { passColumns } from './passes-table.ts';
import { replayMap } from './replay-map.ts';
import { samplesCsv, samplesJson } from './samples-table.ts';
import { type FileBody, serveFile } from './serve-file.ts';

/** Archives that are sent while they are made, at one time. */
const MOST_STREAMS = 2;
/** Reports that wait for the one being made. */
const MOST_REPORTS = 8;

interface Style {
  readonly zone: string;
  readonly origin?: Origin | undefined;
}

const mannerOf = ({
  lang,
  units,
  decimal,
}: Omit<PaperManner, 'language'> & { readonly lang: PaperManner['language'] }) => ({
  language: lang,
  units,
  decimal,
});

export function addExportRoutes(app: Express, context: DashboardContext): void {
  const { facts, store, exports } = context;
  const windows = new WindowCache();
  const here = (): ExportContext => ({ ...context, windows, software: context.system().software });
  let streams = 0;
  const reports = new OneAtATime(MOST_REPORTS);

  serveFile(app, ROUTES.jointExport, ({ params: { joint }, query: { zone, origin, paper, ...rest } }) => {
    const known = factsOf(joint, origin);
    const manner = mannerOf(rest);
    const request = { joints: [joint], origin: known.origin, date: null, zone, papers: paper, manner };
    return { name: `${safeName(joint)}.zip`, body: archive(request) };
  });
  serveFile(app, ROUTES.jointReport, async ({ params: { joint }, query }) => {
    const body = await reports.run(() => partsOf(joint, query).report(query.paper, mannerOf(query)));
    if (body === null) {
      throw new ApiProblem(503, 'exportBusy', 'Many reports are being made already: try again in a moment.');
    }
    return { name: `${safeName(joint)}-report.pdf`, body };
  });
  serve(app, ROUTES.jointExportJson, ({ params: { joint }, query }) => partsOf(joint, query).json());
  const tables = {
    passes: [ROUTES.jointPassesCsv, (parts: JointParts, style: CsvStyle) => parts.passesCsv(style)],
    windows: [ROUTES.jointWindowsCsv, (parts: JointParts, style: CsvStyle) => parts.windowsCsv(style)],
    deviations: [ROUTES.jointDeviationsCsv, (parts: JointParts, style: CsvStyle) => parts.foundCsv(style)],
    events: [ROUTES.jointEventsCsv, (parts: JointParts, style: CsvStyle) => parts.eventsCsv(style)],
  } as const;
  for (const [name, [spec, table]] of Object.entries(tables)) {
    serveFile(app, spec, ({ params: { joint }, query }) => ({
      name: `${safeName(joint)}-${name}.csv`,
      body: table(partsOf(joint, query), query.decimal),
    }));
  }

  serveFile(app, ROUTES.passSamplesCsv, async ({ params: { passId }, query: { zone } }) => ({
    name: `${safeName(passId)}-samples.csv`,
    body: samplesCsv(await wholePassOf(passId), zone),
  }));
  serveFile(app, ROUTES.passSamplesJson, async ({ params: { passId }, query: { zone } }) => ({
    name: `${safeName(passId)}-samples.json`,
    body: samplesJson(await wholePassOf(passId), zone, context.system().software),
  }));
  serve(app, ROUTES.passReplayMap, ({ params: { passId } }) => {
    const map = replayMap(passOf(passId));
    if (map) return { ...map };
    throw new ApiProblem(
      404,
      'samplesMissing',
      `No samples of pass ${passId} are stored that replay can read.`,
    );
  });

  serveFile(app, ROUTES.dayExport, ({ query: { date, paper, ...style } }) => {
    const request = {
      ...jointsOn(date, style),
      zone: style.zone,
      papers: paper,
      manner: mannerOf(style),
    };
    return { name: `joints-${date}.zip`, body: archive(request) };
  });
  serveFile(app, ROUTES.dayPassesCsv, ({ query: { date, ...style } }) => {
    const { joints, origin } = jointsOn(date, style);
    const { fromMs, toMs } = dayOf(date, style.zone);
    const began = joints.flatMap(joint => {
      const recorded = facts.joint(joint, origin)?.recorded ?? [];
      return recorded.filter(({ work, message }) => {
        const at = Date.parse(message.startUtc);
        return work.joint === joint && at >= fromMs && at < toMs;
      });
    });
    const passes = began.map(recorded => passExport(recorded, context));
    return { name: `passes-${date}.csv`, body: csvLines(passColumns(style.zone), passes, style.decimal) };
  });

  serve(app, ROUTES.exports, () => ({ exports: exports.desk.list() }));
  serve(app, ROUTES.addExport, ({ body: { date, joints, zone, origin, papers, ...rest } }) => {
    const wanted =
      date === undefined
        ? { joints: [...new Set(joints)], origin: commonOrigin(joints ?? [], origin), date: null }
        : jointsOn(date, { zone, origin });
    const file = date === undefined ? 'joints.zip' : `joints-${date}.zip`;
    const job = exports.desk.begin({ ...wanted, zone, papers, manner: mannerOf(rest) }, file);
    if (job) return job;
    throw new ApiProblem(409, 'exportBusy', 'Another export is being made: wait for it, or cancel it.');
  });
  serve(app, ROUTES.export, ({ params: { id } }) => jobOf(id));
  serveFile(app, ROUTES.exportFile, ({ params: { id } }) => {
    const { file, state } = jobOf(id);
    const path = exports.desk.fileOf(id);
    if (path !== null) return { name: file, body: { path } };
    throw new ApiProblem(409, 'exportNotDone', `Export ${id} has no file: it is ${state}.`);
  });
  serve(app, ROUTES.cancelExport, async ({ params: { id } }) => {
    await exports.desk.cancel(id);
    return jobOf(id);
  });

  function factsOf(joint: string, origin: Origin | undefined) {
    const known = facts.joint(joint, origin);
    if (known) return known;
    throw new ApiProblem(404, 'jointUnknown', `Nothing is entered or recorded of joint ${joint}.`);
  }

  function partsOf(joint: string, { zone, origin }: Style): JointParts {
    return new JointParts(sealedJoint(factsOf(joint, origin), here()), zone);
  }

  function passOf(passId: string) {
    const message = store.pass(passId);
    if (message) return passExport(facts.recorded(message), context);
    throw new ApiProblem(404, 'passUnknown', `No pass ${passId} is stored.`);
  }

  /** With its samples, wherever they are kept. */
  async function wholePassOf(passId: string) {
    const message = store.pass(passId);
    if (!message) return passOf(passId);
    try {
      const whole = { ...context, store: await context.samples.borrow(store, [message]) };
      return passExport(facts.recorded(message), whole);
    } catch (error) {
      if (error instanceof SamplesAwayError) throw new ApiProblem(503, 'samplesAway', error.message);
      throw error;
    }
  }

  function commonOrigin(joints: readonly string[], asked: Origin | undefined): Origin {
    const origin = originOfAll(joints.map(joint => factsOf(joint, asked).origin));
    if (origin !== null) return origin;
    throw new ApiProblem(422, 'originMixed', MIXED);
  }

  function dayOf(date: string, zone: string): Day {
    const day = localDay(date, zone);
    if (day) return day;
    throw new ApiProblem(400, 'queryInvalid', `${date} is not a day of the calendar.`);
  }

  function jointsOn(date: string, { zone, origin: asked }: Style) {
    const origin = originShown(store.jointOrigins(), asked);
    const joints = jointsOfDay(context, origin, dayOf(date, zone));
    if (joints.length > 0) return { joints, origin, date };
    throw new ApiProblem(404, 'dayEmpty', `No pass of any joint began on ${date} (${zone}).`);
  }

  function jobOf(id: string) {
    const job = exports.desk.job(id);
    if (job) return job;
    throw new ApiProblem(404, 'exportUnknown', `There is no export ${id} here, or none any more.`);
  }

  function archive(request: ExportRequest): FileBody {
    if (streams >= MOST_STREAMS) {
      throw new ApiProblem(
        503,
        'exportBusy',
        'Two exports are being sent already: try again when they are done.',
      );
    }
    return async function* (signal) {
      streams++;
      try {
        yield* exports.run(request, () => {}, signal);
      } finally {
        streams--;
      }
    };
  }
}
