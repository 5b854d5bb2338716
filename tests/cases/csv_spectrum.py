"""The twelve cases of csv-spectrum 2.0.0 (npm, BSD-2-Clause, by M. Ogden; "csv test data for
writing robust csv parsers"), typed by hand.

Name -> (bytes, rows as written in its JSON). `location_coordinates` is wrong as published: its JSON
holds another phone number than its CSV.
"""

CASES: dict[str, tuple[bytes, list[dict[str, str]]]] = {
    "comma_in_quotes": (
        b'first,last,address,city,zip\nJohn,Doe,120 any st.,"Anytown, WW",08123',
        [
            {
                "first": "John",
                "last": "Doe",
                "address": "120 any st.",
                "city": "Anytown, WW",
                "zip": "08123",
            }
        ],
    ),
    "empty": (
        b'a,b,c\n1,"",""\n2,3,4',
        [{"a": "1", "b": "", "c": ""}, {"a": "2", "b": "3", "c": "4"}],
    ),
    "empty_crlf": (
        b'a,b,c\r\n1,"",""\r\n2,3,4',
        [{"a": "1", "b": "", "c": ""}, {"a": "2", "b": "3", "c": "4"}],
    ),
    "escaped_quotes": (
        b'a,b\n1,"ha ""ha"" ha"\n3,4\n',
        [{"a": "1", "b": 'ha "ha" ha'}, {"a": "3", "b": "4"}],
    ),
    "json": (
        b'key,val\n1,"{""type"": ""Point"", ""coordinates"": [102.0, 0.5]}"\n',
        [{"key": "1", "val": '{"type": "Point", "coordinates": [102.0, 0.5]}'}],
    ),
    "location_coordinates": (
        "Contact Phone Number,Location Coordinates,Cities,Counties\n2095257564,37\ufffd36'37.8\"N"
        " 121\ufffd2'17.9\"W,Modesto,Stanislaus".encode(),
        [
            {
                "Contact Phone Number": "1234567890",
                "Location Coordinates": "37\ufffd36'37.8\"N 121\ufffd2'17.9\"W",
                "Cities": "Modesto",
                "Counties": "Stanislaus",
            }
        ],
    ),
    "newlines": (
        b'a,b,c\n1,2,3\n"Once upon \na time",5,6\n7,8,9\n',
        [
            {"a": "1", "b": "2", "c": "3"},
            {"a": "Once upon \na time", "b": "5", "c": "6"},
            {"a": "7", "b": "8", "c": "9"},
        ],
    ),
    "newlines_crlf": (
        b'a,b,c\r\n1,2,3\r\n"Once upon \r\na time",5,6\r\n7,8,9\r\n',
        [
            {"a": "1", "b": "2", "c": "3"},
            {"a": "Once upon \r\na time", "b": "5", "c": "6"},
            {"a": "7", "b": "8", "c": "9"},
        ],
    ),
    "quotes_and_newlines": (
        b'a,b\n1,"ha \n""ha"" \nha"\n3,4\n',
        [{"a": "1", "b": 'ha \n"ha" \nha'}, {"a": "3", "b": "4"}],
    ),
    "simple": (b"a,b,c\n1,2,3\n", [{"a": "1", "b": "2", "c": "3"}]),
    "simple_crlf": (b"a,b,c\r\n1,2,3\r\n", [{"a": "1", "b": "2", "c": "3"}]),
    "utf8": (
        "a,b,c\n1,2,3\n4,5,ʤ".encode(),
        [{"a": "1", "b": "2", "c": "3"}, {"a": "4", "b": "5", "c": "ʤ"}],
    ),
}
