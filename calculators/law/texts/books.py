"""Books, papers and lecture notes."""

from __future__ import annotations

from calculators.law.records import Source

SOURCES: tuple[Source, ...] = (
    Source(
        id="HOWARD",
        issuer="M. S. Howard",
        title="1000 practical air brake questions and answers",
        edition="1913",
        how_read="read in part",
    ),
    Source(
        id="TEA",
        issuer="Traveling Engineers' Association",
        title="Examination questions and answers",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="EB11",
        issuer="Encyclopaedia Britannica",
        title="Volume 4, article on brakes",
        edition="11th edition",
        how_read="read in the text",
    ),
    Source(
        id="PROUT",
        issuer="H. G. Prout",
        title="Biography of the inventor of the automatic air brake",
        edition="1921",
        how_read="read in part",
    ),
    Source(
        id="MCB-06",
        issuer="Master Car Builders",
        title="Air-brake tests, in the Car Builders' Dictionary",
        edition="1906",
        how_read="read in part",
    ),
    Source(
        id="WEBB",
        issuer="W. L. Webb",
        title="Railroad economics, sections 120-121",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="RLE",
        issuer="Railway and Locomotive Engineering",
        title="Extracts on air brakes",
        edition="about 1900 to 1914, undated",
        how_read="read in part",
    ),
    Source(
        id="SINC",
        issuer="Sinclair",
        title="Locomotive engine running, brake chapter",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="LUDY",
        issuer="Ludy",
        title="Air Brakes, p. 101",
        edition="about 1913",
        how_read="read in part",
    ),
    Source(
        id="DIS96",
        issuer="P. Synnestvedt",
        title="Diseases of the Air Brake System",
        edition="1896",
        how_read="read in part",
    ),
    Source(
        id="AB13",
        issuer="a railroad",
        title="Brake Tests: road tests at Absecon, New Jersey",
        edition="Altoona, 1913",
        how_read="read in part",
    ),
    Source(
        id="ADAMS",
        issuer="Adams",
        title="Notes on railroad accidents, chapter 20",
        edition="1879",
        how_read="read in part",
    ),
    Source(
        id="SRR",
        issuer="Street Railway Review",
        title="Report of brake tests at Karner, New York, p. 187",
        edition="1890s",
        how_read="read in part",
    ),
    Source(
        id="NATURE-79",
        issuer="Nature",
        title="Galton's brake trials of 1878-79",
        edition="24 July 1879",
        how_read="read in part",
    ),
    Source(
        id="WHITE46",
        issuer="White",
        title="Australian brake tests, abstract in a transport research database (record 37299)",
        edition="27 December 1946",
        how_read="read as an abstract",
    ),
    Source(
        id="KOFFMAN-48",
        issuer="Koffman",
        title="Abstract on the adhesion of wheel and rail",
        edition="1948",
        how_read="read as an abstract",
    ),
    Source(
        id="LECTURE",
        issuer="a university",
        title="Lecture notes that restate W. J. Davis, The tractive resistance of electric "
        "locomotives and cars, 1926 (that paper itself was not read)",
        edition="undated",
        how_read="read in part",
    ),
    Source(
        id="KC77",
        issuer="Katz and Cheng",
        title="ASME 77-WA/Flcs-10, on leakage along the brake pipe",
        edition="1977",
        how_read="read as an abstract",
    ),
    Source(
        id="AH88",
        issuer="Abdol-Hamid, Limbert and Chapman",
        title="J. Dyn. Syst. Meas. Control 110(3) 329, on leakage along the brake pipe",
        edition="1988",
        how_read="read as an abstract",
    ),
    Source(
        id="WU17",
        issuer="Wu, Cole, Spiryagin, Wang, Ma and Wei",
        title="J. Comput. Nonlinear Dyn. 12(5) 051017, on a model of the train brake",
        edition="2017",
        how_read="read as an abstract",
    ),
)
