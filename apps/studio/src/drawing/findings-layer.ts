import Feature, { type FeatureLike } from 'ol/Feature.js';
import VectorLayer from 'ol/layer/Vector.js';
import VectorSource from 'ol/source/Vector.js';
import type Style from 'ol/style/Style.js';
import { type FindingShape, findingGeometry, findingStyle } from './finding-style.js';

export interface DrawnFinding extends FindingShape {
  readonly findingId: string;
}

/** Findings as geometry over the lead drawing. */
export class FindingsLayer {
  readonly layer: VectorLayer;
  readonly #source = new VectorSource();
  #selected: string | null = null;

  constructor() {
    this.layer = new VectorLayer({
      source: this.#source,
      style: (feature, resolution) => this.#style(feature, resolution),
      updateWhileAnimating: true,
      updateWhileInteracting: true,
    });
  }

  set(findings: readonly DrawnFinding[]): void {
    this.#source.clear();
    this.#source.addFeatures(
      findings.map((finding) => new Feature({ geometry: findingGeometry(finding), finding })),
    );
  }

  select(findingId: string | null): void {
    this.#selected = findingId;
    this.layer.changed();
  }

  #style(feature: FeatureLike, resolution: number): Style[] {
    const finding = feature.get('finding') as DrawnFinding;
    return findingStyle(finding, resolution, finding.findingId === this.#selected);
  }
}
