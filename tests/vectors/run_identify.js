/*
 * Runs decoderIdentify on lists of observations, in a browser page or in node: decoderAnswers(index, list, vehicle) gives
 * an answer each, every third with the vehicle; a refused observation gives {refused: sentence}.
 */
(function () {
  'use strict';

  window.decoderAnswers = function (index, observations, vehicle) {
    var engine = window.decoderIdentify.load(index);
    return observations.map(function (given, number) {
      try {
        return engine.identify(given, {vehicle: number % 3 === 0 ? vehicle : null});
      } catch (error) {
        if (error.name !== 'ObservationError') throw error;
        return {refused: error.message};
      }
    });
  };
})();
