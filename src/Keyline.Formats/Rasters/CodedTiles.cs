using BitMiracle.LibTiff.Classic;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Copies coded tiles of several files into one, in the order of the whole grid.</summary>
internal static class CodedTiles
{
    private const int Side = GeoTiffWriter.TileSide;

    public static void Copy(Tiff to, GridFrame frame, int side, Func<int, int, Stream> open, int bytesPerCell, int predictor, CancellationToken cancellationToken)
    {
        byte[] coded = new byte[2 * Side * Side * bytesPerCell];
        int at = 0;
        for (int top = 0; top < frame.Rows; top += side)
        {
            int rows = Math.Min(side, frame.Rows - top);
            List<(Stream Stream, Tiff Tiff, int Across)> files = [];
            try
            {
                for (int left = 0; left < frame.Columns; left += side)
                {
                    Stream stream = open(top, left);
                    int columns = Math.Min(side, frame.Columns - left);
                    Tiff? tiff = Tiff.ClientOpen("tile", "r", new TiffSource(stream), new TiffSourceStream());
                    files.Add((stream, tiff!, (columns + Side - 1) / Side));
                    if (tiff is null || Tag(tiff, TiffTag.IMAGEWIDTH) != columns || Tag(tiff, TiffTag.IMAGELENGTH) != rows || Tag(tiff, TiffTag.TILEWIDTH) != Side
                        || Tag(tiff, TiffTag.BITSPERSAMPLE) != 8 * bytesPerCell || Tag(tiff, TiffTag.PREDICTOR) != predictor)
                    {
                        throw Unfit(top, left);
                    }
                }

                for (int row = 0; row < (rows + Side - 1) / Side; row++)
                {
                    cancellationToken.ThrowIfCancellationRequested();
                    for (int f = 0; f < files.Count; f++)
                    {
                        for (int column = 0; column < files[f].Across; column++)
                        {
                            int length = files[f].Tiff.ReadRawTile((row * files[f].Across) + column, coded, 0, coded.Length);
                            if (length <= 0)
                            {
                                throw Unfit(top, f * side);
                            }

                            if (to.WriteRawTile(at++, coded, 0, length) != length)
                            {
                                throw new IOException("The GeoTIFF cannot be written on; the disk may be full.");
                            }
                        }
                    }
                }
            }
            finally
            {
                foreach ((Stream stream, Tiff? tiff, _) in files)
                {
                    tiff?.Dispose();
                    stream.Dispose();
                }
            }
        }
    }

    private static int Tag(Tiff tiff, TiffTag tag) => tiff.GetFieldDefaulted(tag) is [FieldValue value, ..] ? value.ToInt() : -1;

    private static GroundDataException Unfit(int row, int column) => new(FormattableString.Invariant(
        $"The file of the tile at row {row}, column {column} is damaged or was not written for that place: make it again."));
}
