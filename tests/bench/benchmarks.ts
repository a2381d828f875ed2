import type { Benchmark } from './harness/figure.ts';
import { alarmLatency } from './rows/alarm-latency.ts';
import { backlogGrowth } from './rows/backlog-growth.ts';
import { chartDraw } from './rows/chart-draw.ts';
import { codecSize } from './rows/codec-size.ts';
import { durableWrite } from './rows/durable-write.ts';
import { edgeMemory } from './rows/edge-memory.ts';
import { endToEndCpu } from './rows/end-to-end-cpu.ts';
import { fanOut } from './rows/fan-out.ts';
import { flashWear } from './rows/flash-wear.ts';
import { flatHour } from './rows/flat-hour.ts';
import { fleetIngest } from './rows/fleet-ingest.ts';
import { frameDecode } from './rows/frame-decode.ts';
import { jointGrowth } from './rows/joint-growth.ts';
import { jointReview } from './rows/joint-review.ts';
import { lineIntegrity } from './rows/line-integrity.ts';
import { liveLatency } from './rows/live-latency.ts';
import { liveWall } from './rows/live-wall.ts';
import { mqttBatching } from './rows/mqtt-batching.ts';
import { mqttLatency } from './rows/mqtt-latency.ts';
import { nearestPass } from './rows/nearest-pass.ts';
import { openJoint } from './rows/open-joint.ts';
import { outageRecovery } from './rows/outage-recovery.ts';
import { overviewQuery } from './rows/overview-query.ts';
import { passEngine } from './rows/pass-engine.ts';
import { rateGrowth } from './rows/rate-growth.ts';
import { readJoint } from './rows/read-joint.ts';
import { rigGrowth } from './rows/rig-growth.ts';
import { serialWakeUps } from './rows/serial-wake-ups.ts';
import { shift } from './rows/shift.ts';
import { simulatorPhysics } from './rows/simulator-physics.ts';
import { startUp } from './rows/start-up.ts';
import { storeSize } from './rows/store-size.ts';
import { trust } from './rows/trust.ts';

/** In the order of the table. */
export const benchmarks: readonly Benchmark[] = [
  frameDecode,
  lineIntegrity,
  serialWakeUps,
  passEngine,
  nearestPass,
  trust,
  codecSize,
  durableWrite,
  flashWear,
  readJoint,
  overviewQuery,
  storeSize,
  mqttLatency,
  mqttBatching,
  outageRecovery,
  fleetIngest,
  endToEndCpu,
  liveLatency,
  fanOut,
  liveWall,
  alarmLatency,
  openJoint,
  chartDraw,
  jointReview,
  shift,
  edgeMemory,
  flatHour,
  startUp,
  simulatorPhysics,
  rigGrowth,
  rateGrowth,
  jointGrowth,
  backlogGrowth,
];
