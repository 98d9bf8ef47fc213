"""Reverberation times by pyroomacoustics.

Its Eyring formula gives the absorption of the air the wrong sign (version 0.10.1), so that is used without air only.
"""

import numpy as np
import pyroomacoustics as pra
from table import write


def main():
    speed = 343.2
    rows = []
    for sides in [(6.0, 4.0, 2.7), (24.0, 15.0, 7.0), (60.0, 40.0, 14.0)]:
        volume = float(np.prod(sides))
        a, b, c = sides
        surface = 2 * (a * b + b * c + a * c)
        for absorption in [0.05, 0.2, 0.6]:
            for attenuation in [0.0, 0.005]:
                # pyroomacoustics takes the energy attenuation in nepers per metre.
                m = attenuation * np.log(10) / 10
                sabine = pra.rt60_sabine(surface, volume, absorption, m, speed)
                eyring = pra.rt60_eyring(surface, volume, absorption, 0, speed)
                rows.append(
                    {
                        "volume": volume,
                        "surface": surface,
                        "absorption": absorption,
                        "db_per_metre": attenuation,
                        "sabine": float(f"{sabine:.8g}"),
                        "eyring_without_air": float(f"{eyring:.8g}"),
                    }
                )
    write("acoustics", "acoustics_room", {"speed_of_sound": speed, "decay": rows})


main()
