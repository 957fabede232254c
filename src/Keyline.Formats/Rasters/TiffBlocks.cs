namespace Keyline.Formats;

/// <summary>Reads the blocks of an image one at a time, with whichever decoder can.</summary>
internal sealed class TiffBlocks : IDisposable
{
    private readonly TiffImage _image;
    private readonly TiffInflater? _inflater;
    private readonly TiffDecoder? _decoder;
    private readonly byte[] _bytes;

    public TiffBlocks(Stream stream, TiffImage image)
    {
        _image = image;
        _inflater = TiffInflater.Handles(image) ? new TiffInflater(stream, image) : null;
        _decoder = _inflater is null ? TiffDecoder.Open(stream, image.Tags.Index) : null;
        _bytes = new byte[checked(image.RowBytes * image.BlockRows)];
    }

    /// <summary>Decodes a block.</summary>
    /// <param name="first">Number of the first block of the band.</param>
    /// <param name="blockRow">Row of the block.</param>
    /// <param name="blockColumn">Column of the block.</param>
    /// <returns>Its bytes, good until the next call; null where it was never written.</returns>
    /// <exception cref="InvalidDataException">The block is damaged.</exception>
    public byte[]? Read(int first, int blockRow, int blockColumn)
    {
        int block = first + (blockRow * _image.BlocksAcross) + blockColumn;
        if (_image.ByteCounts[block] == 0)
        {
            return null;
        }

        int rows = _image.Tiled ? _image.BlockRows : Math.Min(_image.BlockRows, _image.Rows - (blockRow * _image.BlockRows));
        if (_inflater is not null)
        {
            _inflater.Read(block, _bytes, rows * _image.RowBytes);
        }
        else
        {
            _decoder!.Read(_image.Tiled, block, _bytes, rows * _image.RowBytes);
        }

        return _bytes;
    }

    public void Dispose() => _decoder?.Dispose();
}
