"""Atmospheric absorption by ISO 9613-1, by pyfar.

Absorption at sea level only: away from it pyfar 0.8.1 multiplies the concentration of water by the relative pressure
where equation B.1 divides by it.
"""

import numpy as np
import pyfar as pf
from table import write


def main():
    frequencies = np.array([50.0, 250.0, 1000.0, 4000.0, 16000.0])
    absorption = []
    for temperature in [-20.0, 0.0, 15.0, 30.0, 50.0]:
        for humidity in [12.0, 45.0, 95.0]:
            alpha, _, _ = pf.constants.air_attenuation(temperature, frequencies, humidity / 100)
            absorption.append(
                {
                    "air": {"temperature": temperature, "relativeHumidity": humidity, "pressure": 101.325},
                    "db_per_metre": [float(f"{a:.7g}") for a in np.ravel(alpha)],
                }
            )
    table = {"frequency": frequencies.tolist(), "absorption": absorption}
    write("acoustics", "acoustics_air", table)


main()
