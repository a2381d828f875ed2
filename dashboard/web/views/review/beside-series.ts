/** The same pass of several joints as steps over the place on its side, and as rows of one table. */
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import type { WindowName } from './window-names.ts';

export interface BesideStep {
  readonly from: number;
  readonly to: number;
  readonly value: number;
}

export interface BesideSeries {
  readonly name: string;
  readonly steps: readonly BesideStep[];
}

/** Windows that have a place and a value, in stored units. */
export const stepsOf = ({ windows }: Pick<ReviewPass, 'windows'>, quantity: WindowName): BesideStep[] =>
  windows.flatMap(({ fromMm, toMm, values }) => {
    const value = values[quantity];
    return fromMm === null || toMm === null || value === null ? [] : [{ from: fromMm, to: toMm, value }];
  });

/** This joint first; of the others the same pass of the same side, as first welded. */
export function besideSeries(
  review: JointReview,
  pass: ReviewPass,
  others: readonly JointReview[],
  quantity: WindowName,
): BesideSeries[] {
  const { side, pass: name } = pass.work;
  return [
    { name: review.joint, steps: stepsOf(pass, quantity) },
    ...others.map(other => ({
      name: other.joint,
      steps: other.passes
        .filter(one => one.work.side === side && one.work.pass === name && one.repairOf === null)
        .flatMap(one => stepsOf(one, quantity)),
    })),
  ];
}

/** Rows by the windows of the first series: of the others the value at the middle of each; null where none is. */
export function besideRows(series: readonly BesideSeries[]): {
  readonly from: number;
  readonly to: number;
  readonly values: readonly (number | null)[];
}[] {
  const longest = series.reduce<BesideSeries | null>(
    (most, one) => (most === null || (most.steps.length === 0 && one.steps.length > 0) ? one : most),
    null,
  );
  return (longest?.steps ?? []).map(({ from, to }) => {
    const middle = (from + to) / 2;
    return {
      from,
      to,
      values: series.map(
        ({ steps }) => steps.find(step => middle >= step.from && middle < step.to)?.value ?? null,
      ),
    };
  });
}
