/** The open sheet as state: follows the address. */
import { type Place, placeHash, readPlace } from './route';

export class Route {
  place = $state.raw<Place>(readPlace(location.hash));

  constructor() {
    addEventListener('hashchange', () => {
      this.place = readPlace(location.hash);
    });
  }

  go(place: Partial<Place>): void {
    location.hash = placeHash({ ...this.place, ...place });
  }
}
