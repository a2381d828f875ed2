/**
 * The debrief of a training session on paper: counts, one timeline, what was wrong and what was marked, two things to keep
 * and two to change. SIMULATED — TRAINING on every page. The same debrief gives the same bytes.
 */
import type { Debrief } from '#core/messages/api-training';
import { DEBRIEF_PHRASES } from '#core/phrases/es-phrases-debrief';
import type { WindowScore } from '#core/training/session';
import { faultWords } from './fault-words.ts';
import { attach, openReport } from './report-document.ts';
import type { ReportManner } from './report-manner.ts';
import { fixed, utcText, WORDS } from './report-words.ts';
import type { Sheet } from './sheet.ts';
import { drawTimeline, minutes } from './training-timeline.ts';
import { ACTION_WORDS, CHANNEL_WORDS, KIND_WORDS, RESULT_WORDS, TRAINING_WORDS } from './training-words.ts';

export interface TrainingReportInput {
  readonly debrief: Debrief;
  readonly software: string;
  readonly paper: 'a4' | 'letter';
  readonly manner: ReportManner;
}

export async function trainingReport(input: TrainingReportInput): Promise<Buffer> {
  const { debrief, software, paper, manner } = input;
  const { session } = debrief;
  const time = session.endedAt ?? session.createdAt;
  const at = new Date(time);
  const title = TRAINING_WORDS.title(session.trainee);
  const report = await openReport({
    title,
    at,
    software,
    paper,
    watermark: WORDS.simulated,
    manner,
    phrases: DEBRIEF_PHRASES,
  });
  const { sheet } = report;
  sheet.title(title);
  for (const caution of TRAINING_WORDS.cautions) sheet.text(caution, { small: true });
  identity(sheet, debrief);
  counts(sheet, debrief);
  sheet.heading(TRAINING_WORDS.sections.timeline);
  drawTimeline(sheet, debrief);
  sheet.text(TRAINING_WORDS.timelineMeans, { small: true });
  windows(sheet, debrief);
  talk(sheet, debrief);
  everything(sheet, debrief);
  sheet.footers((page, pages) => [
    `${TRAINING_WORDS.footer(session.lesson.title, utcText(time), software)} · ${WORDS.page(page, pages)}`,
    `${WORDS.simulated} · ${session.trainee}, taught by ${session.trainer}`,
  ]);
  attach(report, at, {
    name: 'debrief.json',
    text: JSON.stringify(debrief),
    type: 'application/json',
    description: 'The session with its truth, marks, score and timeline',
  });
  return report.end();
}

function identity(sheet: Sheet, { session, joints }: Debrief): void {
  const { lesson, startedAt, endedAt, selfRating } = session;
  const time = (utc: string | null): string => (utc === null ? WORDS.unknown : utcText(utc));
  sheet.heading(TRAINING_WORDS.sections.session);
  sheet.facts([
    ['Trainee', session.trainee],
    ['Trainer', session.trainer],
    ['Lesson', lesson.title],
    ['Kind', session.mode === 'practice' ? 'practice, with hints' : 'check, without hints'],
    ['Lesson id, seed', `${lesson.id}, ${session.seed}`],
    ['Material', lesson.replay ? 'made of a recorded joint' : 'simulated rigs'],
    ['Began', time(startedAt)],
    ['Ended', time(endedAt)],
    ['Joints', joints.map(({ joint }) => joint).join(', ') || WORDS.none],
    ['Self-rating', selfRating === null ? WORDS.unknown : `${selfRating}/5`],
  ]);
  for (const objective of lesson.objectives) sheet.text(`To learn: ${objective}`);
}

function counts(sheet: Sheet, { score }: Debrief): void {
  sheet.heading(TRAINING_WORDS.sections.counts);
  const { counts: counted, sensitivity } = score;
  if (counted === null) {
    sheet.text(`Not scored. ${score.notScored ?? ''}`, { bold: true });
    return;
  }
  const { hit, late, signals } = counted;
  sheet.facts([
    ['Hits', `${hit}/${signals}`],
    ['Late', String(late)],
    ['Missed', String(counted.miss)],
    ['False alarms', String(counted.falseAlarm)],
    ['Wrong side', String(counted.wrongSide)],
    ['Left alone, rightly', `${counted.leftAlone}/${counted.decoys}`],
    ['Right channel', `${counted.rightChannel}/${hit + late}`],
    ['Right action', `${counted.rightAction}/${hit + late}`],
  ]);
  sheet.text(TRAINING_WORDS.lateMeans, { small: true });
  sheet.subheading(TRAINING_WORDS.sections.sensitivity);
  if (sensitivity === null) {
    sheet.text(score.sensitivityReason ?? '');
    return;
  }
  const { dPrime, low, high, criterion, hits, noises, falseAlarms } = sensitivity;
  sheet.text(
    `d′ ${fixed(dPrime, 2)}, 95 % interval ${fixed(low, 2)} to ${fixed(high, 2)}; criterion ${fixed(criterion, 2)}. ` +
      `From ${hits} hits in ${sensitivity.signals} windows with a signal and ${falseAlarms} false alarms in ${noises} without. ` +
      'Rates corrected log-linearly; above 0 the criterion is slow to call, below 0 quick.',
  );
}

/** Room, in points, that keeps a heading on the page of its table's head and first row. */
const WITH_FIRST_ROW = 100;

function windows(sheet: Sheet, { session, score }: Debrief): void {
  sheet.heading(TRAINING_WORDS.sections.windows, WITH_FIRST_ROW);
  if (session.truth.length === 0) {
    sheet.text(session.truthGap ?? 'Nothing was wrong in this lesson.');
    return;
  }
  const results = new Map(score.windows.map(one => [one.windowId, one]));
  const marks = new Map(session.marks.map(one => [one.id, one]));
  sheet.table(
    [
      { title: 'At', share: 0.07, align: 'right' },
      { title: 'Side, joint, pass', share: 0.18 },
      { title: 'What, size', share: 0.17 },
      { title: 'Result', share: 0.13 },
      { title: 'After', share: 0.12, align: 'right' },
      { title: 'Channel named', share: 0.18 },
      { title: 'Action named', share: 0.15 },
    ],
    session.truth.map(window => {
      const result = results.get(window.id);
      const mark = result?.markId ? marks.get(result.markId) : undefined;
      return [
        since(session.startedAt, window.beganUtc),
        `${window.side}, ${window.joint}, ${window.pass}`,
        `${faultWords(window.fault, window.size)}${window.kind === 'decoy' ? ' (decoy)' : ''}${window.injected ? ' (put in)' : ''}`,
        result ? RESULT_WORDS[result.result] : WORDS.unknown,
        afterText(result),
        named(mark?.channel ? CHANNEL_WORDS[mark.channel] : null, result?.rightChannel),
        named(mark?.action ? ACTION_WORDS[mark.action] : null, result?.rightAction),
      ];
    }),
  );
}

function talk(sheet: Sheet, { session }: Debrief): void {
  sheet.heading(TRAINING_WORDS.sections.talk);
  for (const [heading, points] of [
    ['Keep', session.keep],
    ['Change', session.change],
  ] as const) {
    sheet.subheading(heading);
    // Room to write by hand where nothing was entered.
    for (const i of [0, 1]) sheet.text(`${i + 1}. ${points[i] ?? TRAINING_WORDS.line}`);
  }
  if (session.notes.length === 0) return;
  sheet.subheading(TRAINING_WORDS.sections.notes);
  for (const { at, text } of session.notes) sheet.text(`${since(session.startedAt, at)}  ${text}`);
}

function everything(sheet: Sheet, { session, timeline }: Debrief): void {
  if (timeline.length === 0) return;
  sheet.heading(TRAINING_WORDS.sections.list, WITH_FIRST_ROW);
  const faults = new Map(session.truth.map(({ id, fault, size }) => [id, faultWords(fault, size)]));
  const marks = new Map(session.marks.map(one => [one.id, one]));
  sheet.table(
    [
      { title: 'At', share: 0.08, align: 'right' },
      { title: 'What', share: 0.13 },
      { title: 'Side, rig', share: 0.15 },
      { title: 'Where, mm', share: 0.14, align: 'right' },
      { title: 'Words', share: 0.5 },
    ],
    timeline.map(({ at, until, kind, side, rig, fromMm, toMm, ref, text }) => {
      const mark = kind === 'mark' ? marks.get(ref ?? '') : undefined;
      const words =
        mark !== undefined
          ? [mark.channel && CHANNEL_WORDS[mark.channel], mark.action && ACTION_WORDS[mark.action]]
              .flatMap(word => (word ? [sheet.say(word)] : []))
              .join(', ')
          : kind === 'truth'
            ? (faults.get(ref ?? '') ?? '')
            : (text ?? '');
      const end = until === null ? '' : ` (to ${since(session.startedAt, until)})`;
      return [
        since(session.startedAt, at),
        KIND_WORDS[kind],
        [side, rig].filter(Boolean).join(', ') || WORDS.unknown,
        fromMm === null ? WORDS.unknown : `${fixed(fromMm, 0)}${toMm === null ? '' : `–${fixed(toMm, 0)}`}`,
        `${words}${end}`,
      ];
    }),
  );
}

/** Minutes and seconds since the lesson began. */
function since(startedAt: string | null, utc: string | null): string {
  if (startedAt === null || utc === null) return WORDS.unknown;
  return minutes((Date.parse(utc) - Date.parse(startedAt)) / 1000);
}

function afterText(result: WindowScore | undefined): string {
  if (!result || result.seconds === null) return WORDS.unknown;
  return `${fixed(result.seconds, 1)} s${result.weldMm === null ? '' : `, ${fixed(result.weldMm, 0)} mm`}`;
}

const named = (word: string | null, right: boolean | null | undefined): string =>
  word === null
    ? WORDS.unknown
    : right === null || right === undefined
      ? word
      : `${word}: ${right ? 'right' : 'WRONG'}`;
