/** The parts of one joint's export, each made when it is asked for. */
import { type CsvStyle, csvLines } from '#core/csv/csv-writer';
import type { JointExport } from '#core/messages/api-export';
import type { Procedure } from '#core/procedure/procedure';
import { canonicalJson } from '#core/record/canonical-json';
import { shortKey } from '#core/record/seal-verify';
import { jointReport } from '../report/joint-report.ts';
import { signedJointRecord } from '../seal/joint-record.ts';
import { foundColumns, foundIn } from './deviations-table.ts';
import { eventColumns, eventRows } from './events-table.ts';
import type { Paper, PaperManner, SealedJoint } from './export-context.ts';
import { type PassExport, passExport } from './pass-export.ts';
import { passColumns } from './passes-table.ts';
import { windowColumns, windowRows } from './windows-table.ts';

export class JointParts {
  readonly sealed: SealedJoint;
  readonly passes: readonly PassExport[];
  private readonly zone: string;
  private readonly byId: ReadonlyMap<string, PassExport>;

  constructor(sealed: SealedJoint, zone: string) {
    this.sealed = sealed;
    this.zone = zone;
    const { facts, context } = sealed;
    this.passes = facts.recorded
      .filter(({ work }) => work.joint === facts.joint)
      .map(recorded => passExport(recorded, context));
    this.byId = new Map(this.passes.map(pass => [pass.message.passId, pass]));
  }

  passesCsv = (style?: CsvStyle): Iterable<string> => csvLines(passColumns(this.zone), this.passes, style);
  foundCsv = (style?: CsvStyle): Iterable<string> =>
    csvLines(foundColumns(this.zone), this.passes.flatMap(foundIn), style);
  windowsCsv = (style?: CsvStyle): Iterable<string> =>
    csvLines(
      windowColumns(this.zone),
      windowRows(this.sealed.review, id => this.byId.get(id)),
      style,
    );
  eventsCsv = (style?: CsvStyle): Iterable<string> =>
    csvLines(
      eventColumns(this.zone),
      eventRows(this.sealed.review, id => this.byId.get(id)),
      style,
    );

  /** As GET …/record gives it, signed as of the newest entry: the text that `verify --file` reads. */
  record(): { text: string; sha256: string } {
    const { facts, context, at } = this.sealed;
    const signed = signedJointRecord(facts, { store: context.store, software: context.software, at });
    return { text: canonicalJson(signed), sha256: signed.hash };
  }

  /** Every procedure revision that any of its passes was recorded or is judged by. */
  procedures(): Procedure[] {
    const { store } = this.sealed.context;
    const named = this.passes.flatMap(({ message, judgement }) => [
      [message.procedureId, message.procedureRevision] as const,
      [judgement?.procedureId ?? null, judgement?.procedureRevision ?? null] as const,
    ]);
    const { procedure } = this.sealed.review;
    const all = [...named, [procedure?.id ?? null, procedure?.revision ?? null] as const];
    const found = new Map<string, Procedure>();
    for (const [id, revision] of all) {
      const entry = id === null || revision === null ? null : store.procedure(id, revision);
      if (entry) found.set(`${id} ${revision}`, entry.procedure);
    }
    return [...found.values()];
  }

  json(): JointExport {
    const { review, at, context, facts } = this.sealed;
    const ids = new Set(facts.entries.map(({ author }) => author));
    const people = context.store
      .people()
      .filter(({ id }) => ids.has(id))
      .map(({ id, name }) => ({ id, name }));
    return {
      schema: 'girthlog.joint-export/1',
      software: context.software,
      at,
      zone: this.zone,
      review,
      procedures: this.procedures(),
      people,
    };
  }

  report(paper: Paper, manner: PaperManner): Promise<Buffer> {
    const { review, context, facts } = this.sealed;
    return jointReport({
      review,
      record: this.record(),
      seals: this.sealLines(),
      windowsCsv: [...this.windowsCsv()].join(''),
      software: context.software,
      paper,
      manner: { ...manner, zone: this.zone },
      nameOf: facts.nameOf,
    });
  }

  private sealLines(): string[] {
    const { store } = this.sealed.context;
    const lines = this.passes.map(({ message: { passId, site, rig, state }, work }) => {
      const seal = store.seals.ofPass(passId);
      const which = `${work.side ?? '–'} ${work.pass ?? '–'}`;
      if (state === 'open')
        return `${which}: the pass is still open; an edge seals a pass when it is closed.`;
      if (!seal) return `${which}: NO SEAL has come from ${site}/${rig}.`;
      const key = seal.keyId === null ? 'an unreadable key' : `key ${shortKey(seal.keyId)}`;
      const outcome = {
        waiting: 'not checked yet',
        verified: 'it fits what was recorded',
        partly: `it fits as far as it can be checked: ${seal.problem ?? ''}`,
        failed: `IT DOES NOT FIT: ${seal.problem ?? ''}`,
      };
      return `${which}: sealed by ${site}/${rig} with ${key}; ${outcome[seal.state]}.`;
    });
    return [
      ...lines,
      `Signed by the dashboard with key ${shortKey(store.key.fingerprint)}.`,
      'To check: girthlog-dashboard verify --file record.json, with the file record.json that is attached.',
    ];
  }
}
