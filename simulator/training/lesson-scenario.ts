import type { LessonHead, LessonWindow } from '#core/training/lesson';
import { plannedPasses } from '../scenario/joint-plan.ts';
import {
  type Scenario,
  type ScenarioFault,
  type ScenarioInput,
  scenarioSchema,
} from '../scenario/scenario.ts';
import type { LessonFile, LessonFileWindow } from './lesson-file.ts';
import { sideOf } from './lesson-file.ts';

/** The scenario that a lesson welds, its windows as faults in the same order. `firstJoint` numbers its first joint. */
export function scenarioOfLesson(lesson: LessonFile, firstJoint: number | null = null): Scenario {
  return scenarioSchema.parse(scenarioInput(lesson, firstJoint));
}

/** The same before it is checked: what the loader hands to the scenario's own rules. */
export function scenarioInput(lesson: LessonFile, firstJoint: number | null = null): ScenarioInput {
  const { title, joints, pipe, schedule, rig, pass, weld } = lesson;
  return {
    schema: 'girthlog.scenario/1',
    title,
    joints: firstJoint === null ? joints : { ...joints, first: firstJoint },
    pipe,
    schedule,
    rig,
    pass,
    weld,
    fault: lesson.window.map(faultOf),
  };
}

function faultOf(window: LessonFileWindow): ScenarioFault {
  const { fault, size, rig, pass, joint, ramp_mm, overlap_mm } = window;
  const { from_mm, to_mm, from_clock, to_clock, other_pass, fault_channel } = window;
  return {
    kind: fault,
    size,
    rig,
    pass,
    joint,
    ramp_mm,
    overlap_mm,
    ...(from_mm === undefined ? {} : { from_mm }),
    ...(to_mm === undefined ? {} : { to_mm }),
    ...(from_clock === undefined ? {} : { from_clock }),
    ...(to_clock === undefined ? {} : { to_clock }),
    ...(other_pass === undefined ? {} : { other_pass }),
    ...(fault_channel === undefined ? {} : { channel: fault_channel }),
  };
}

/** What a lesson says of itself, without its secrets. */
export function lessonHead(lesson: LessonFile): LessonHead {
  const { id, title, objectives, minutes, rig, seed, recording } = lesson;
  return { id, title, objectives, minutes, rigs: rig.length, seed, replay: recording.length > 0 };
}

/** The windows as the truth lists them: places from each pass's own start. */
export function lessonWindows(lesson: LessonFile, scenario: Scenario): LessonWindow[] {
  return lesson.window.map((window, i) => {
    const rig = scenario.rig.find(({ id }) => id === window.rig)!;
    const alone = { ...scenario, fault: [scenario.fault[i]!] };
    for (const planned of plannedPasses(alone, rig, 0)) {
      const [fault] = planned.faults;
      if (!fault) continue;
      const atOnePlace = window.fault === 'stopRestart' || window.fault === 'lateStart';
      const fromMm = window.fault === 'lateStart' ? 0 : Math.max(0, fault.fromMm);
      return {
        id: window.id,
        kind: window.kind,
        fault: window.fault,
        size: window.size,
        rig: window.rig,
        side: sideOf(lesson, window.rig),
        joint: planned.joint,
        pass: window.pass,
        fromMm,
        toMm: atOnePlace ? fromMm : fault.toMm,
        rampMm: window.ramp_mm,
        channels: window.channels,
        actions: window.kind === 'decoy' ? ['leaveAlone'] : window.actions,
        injected: false,
      };
    }
    throw new Error(`window "${window.id}" lies in no planned pass`);
  });
}

/** How long the lesson's timetable is, s: from its beginning to the end of its last pass. */
export function timetableS(scenario: Scenario): number {
  let endS = 0;
  for (const planned of plannedPasses(scenario, scenario.rig[0]!, 0)) {
    endS = planned.startsAtS + planned.lengthMm / planned.setPoint.travelMmS;
  }
  return endS;
}
